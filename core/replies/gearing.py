"""Who gets which load and band: one behind several sets holds for all of them, a change from there on."""

from core.replies.draft import Draft, Drafted, Gear
from core.replies.items import (
    Bands,
    Count,
    Load,
    NoBand,
    Placed,
    Position,
    Relative,
    SomeBand,
    Unweighted,
)


def gear_of(item: object) -> Gear | None:
    """The gear an item speaks of, if it does."""
    match item:
        case Load(mass_g=mass, by=by):
            return Gear(load_g=mass, hinted=by == "decimal")
        case Unweighted():
            return Gear(unweighted=True)
        case Bands(labels=labels):
            return Gear(bands=labels)
        case SomeBand():
            return Gear(some_band=True)
        case NoBand():
            return Gear(no_band=True)
        case Relative(delta_g=delta):
            return Gear(relative=delta)
        case _:
            return None


class Gearing:
    """The part of the drafting that hands out loads and bands."""

    items: list[Placed]
    draft: Draft
    current: Gear | None  # holds from here on
    open: list[Drafted]  # counted since the last gear was named
    covered: list[Drafted]  # those the last gear was given to
    leading: bool
    fresh: bool  # the last gear has had no count behind it yet
    place: Position | None
    slipped: int
    last_count: int

    def take_gear(self, gear: Gear, at: int) -> None:
        if self._mends_gear(gear, at):
            return
        if self.place is not None and self._about_place(at):
            self.draft.placed.append((self.place, gear))
            self.place = None
            return
        if not self.draft.sets:
            self.current = gear if self.current is None or self.current.clashes(gear) else self.current | gear
            self.leading, self.fresh = True, True
            return
        if self.leading:
            self._leading_gear(gear, at)
        else:
            self._trailing_gear(gear)
        self.fresh = True

    def _mends_gear(self, gear: Gear, at: int) -> bool:
        if self.slipped < 0 or self.current is None or not self.fresh or self._counts_follow(at):
            self.slipped = -1 if self.slipped >= 0 and gear is not None else self.slipped
            return False
        self.slipped = -1
        for drafted in self.covered:
            drafted.gear = gear
        self.current = gear
        return True

    def _about_place(self, at: int) -> bool:
        """`last one at 12.5`: the place stands for a set named elsewhere."""
        following = self.items[at + 1 : at + 3]
        return not (self.place is not None and any(isinstance(one.item, Count) for one in following[:1]))

    def _counts_follow(self, at: int) -> bool:
        return at < self.last_count

    def _leading_gear(self, gear: Gear, at: int) -> None:
        assert self.current is not None
        if self._counts_follow(at):
            self.current = self.current | gear if self.fresh and not self.current.clashes(gear) else gear
        elif self.current.clashes(gear):
            self.draft.doubts.append("two_loads")
        else:
            for drafted in self.draft.sets:
                drafted.gear = gear if drafted.gear is None else drafted.gear | gear

    def _trailing_gear(self, gear: Gear) -> None:
        if self.open:
            self._give(self.open, gear)
            self.current, self.covered, self.open = gear, self.open, []
        elif self.fresh and self.current is not None and not self.current.clashes(gear):
            self.current = self.current | gear
            self._give(self.covered, gear)
        elif self.fresh or self.current is None:
            self.current = gear
        else:
            self._carried(gear)

    def _carried(self, gear: Gear) -> None:
        """A load behind sets that had taken over the one before: `5 at 10, 5 at 12.5`."""
        taken = [one for one in self.draft.sets if one not in self.covered and one.gear is self.current]
        for drafted in taken:
            drafted.gear = gear
        self.current, self.covered = gear, taken

    def _give(self, sets: list[Drafted], gear: Gear) -> None:
        for drafted in sets:
            drafted.gear = gear if drafted.gear is None else drafted.gear | gear
