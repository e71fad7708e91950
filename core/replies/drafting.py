"""Items into drafted sets: who gets which load, band, rating and failure, before the context fills the gaps."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from core.replies.draft import Draft, Drafted, Gear
from core.replies.gearing import Gearing, gear_of
from core.replies.items import (
    Count,
    Doubt,
    Effort,
    Failed,
    Group,
    Header,
    Load,
    OutOf,
    Placed,
    Position,
    Said,
    Seconds,
    Times,
    ToFailure,
)

_LONGEST_LIST, _MOST_TIMED = 40, 12


class Drafting(Gearing):
    """Goes over the items once, left to right."""

    def __init__(self, placed: Sequence[Placed]) -> None:
        self.items = [one for one in placed if not one.struck]
        self.draft = Draft()
        counted = [at for at, one in enumerate(self.items) if isinstance(one.item, Count | OutOf | Group | Times)]
        self.last_count = counted[-1] if counted else -1
        self.current: Gear | None = None  # holds from here on
        self.open: list[Drafted] = []  # counted since the last gear was named
        self.covered: list[Drafted] = []  # those the last gear was given to
        self.leading = False
        self.fresh = False  # the last gear has had no count behind it yet
        self.place: Position | None = None
        self.ahead: list[tuple[float | None, bool]] = []
        self.slipped = -1
        self.header: int | None = None
        self.sentence = 0
        self.fails_ahead = False  # a failure told before the sets is the last one's
        self.failed: Drafted | None = None  # the set a failed repetition has just made

    def run(self) -> Draft:
        for at, one in enumerate(self.items):
            self._take(at, one)
        self._finish()
        return self.draft

    def _take(self, at: int, one: Placed) -> None:
        if self.place is not None and one.sentence != self.sentence and not isinstance(one.item, Position):
            self.place = None
        self.sentence = one.sentence
        gear = gear_of(one.item)
        if gear is not None:
            self.take_gear(gear, at)
            return
        match one.item:
            case Count() | OutOf() | Group() | Times() | Seconds():
                self._counted(one, at)
            case Header(sets=sets):
                self.header = sets
            case Effort(ratings=ratings, late=late):
                self._effort(ratings, late, at)
            case ToFailure():
                self._effort((10.0,), False, at)
            case Failed(nth=nth):
                self._fail(nth)
            case Doubt(why=why):
                self.draft.doubts.append(why)
            case Position():
                self._position(one.item, at)
            case Said() if one.item.has("slip") and self.draft.sets:
                self.slipped = at

    def _position(self, position: Position, at: int) -> None:
        """A place ahead of its count; or behind a lone one: `4 on the last set`."""
        behind = len(self.draft.sets) == 1 and self.draft.sets[0].at is None and not position.first
        clause = self.items[at].clause
        beside = any(isinstance(one.item, Count) and one.clause == clause for one in self.items[max(0, at - 3) : at])
        if behind and beside and not any(_tells(one.item) for one in self.items[at + 1 :] if one.clause == clause):
            self.draft.sets[0].at = position.at
        else:
            self.place = position

    # counts

    def _counted(self, one: Placed, at: int) -> None:
        if isinstance(one.item, Seconds) and self._timed(one.item.seconds, one):
            return
        for drafted in self._drafted(one):
            drafted.exercise = one.exercise
            self._set(drafted, at)

    def _timed(self, seconds: int, one: Placed) -> bool:
        """`3 negatives of 5 seconds`: three of one repetition each."""
        last = self.draft.sets[-1] if self.draft.sets else None
        if last is None or last.seconds is not None or one.exercise is None or last.exercise is not one.exercise:
            return False
        alone = sum(drafted.exercise is one.exercise for drafted in self.draft.sets) == 1
        if not alone or not 1 <= last.reps <= _MOST_TIMED:
            return False
        copies, last.reps, last.number, last.seconds = last.reps, 1, Decimal(1), seconds
        self.draft.sets += [replace(last) for _ in range(copies - 1)]
        return True

    def _drafted(self, one: Placed) -> list[Drafted]:
        match one.item:
            case Count(number=number, figures=figures, said=said):
                return [Drafted(int(number), number, figures=figures, bare=not said)]
            case OutOf(number=number, of=of):
                return [Drafted(int(number), number, of=of)]
            case Group(sets=sets, reps=reps):
                return [Drafted(int(reps), reps, bare=False) for _ in range(min(sets, 99))]
            case Times(load=load, reps=reps):
                return [Drafted(int(reps), reps, gear=gear_of(load), bare=False)]
            case Seconds(seconds=seconds):
                return [Drafted(1, Decimal(1), seconds=seconds, bare=False)]
            case _:
                return []

    def _set(self, drafted: Drafted, at: int) -> None:
        failed, self.failed = self.failed, None
        if (failed is not None and drafted.bare and failed.reps == drafted.reps) or self._slip(drafted, at):
            return
        if self.place is not None and self.place.first and drafted.gear is None and drafted.seconds is None:
            copies, self.place = self.place.first, None
            for _ in range(min(copies, 20) - 1):
                self._set(replace(drafted), at)
        if self.place is not None and self._in_list(at):
            self.place = None
        if self.place is not None and self.place.at >= -1 and not self.place.first:
            drafted.at = self.place.at
        self.place = None
        if drafted.gear is None and self.current is not None:
            drafted.gear = self.current
        elif drafted.gear is None:
            self.open.append(drafted)
        else:
            self.current = drafted.gear
        self.fresh = False
        self.draft.sets.append(drafted)

    def _slip(self, drafted: Drafted, at: int) -> bool:
        """`5 5 5, no, 4`: the last one mended; a whole list behind the slip replaces the list before."""
        if self.slipped < 0:
            return False
        slipped, self.slipped = self.slipped, -1
        between = self.items[slipped + 1 : at]
        if any(
            not isinstance(one.item, Said) and type(one.item).__name__ not in ("Punct", "Position") for one in between
        ):
            return False
        following = self._list_length(at)
        if following > 1:
            self._forget()
            return False
        self.draft.sets[-1].reps, self.draft.sets[-1].number = drafted.reps, drafted.number
        return True

    def _in_list(self, at: int) -> bool:
        """Whether more counts follow at once, so that a place before them names none of them."""
        following = self.items[at + 1 : at + 3]
        return any(isinstance(one.item, Count) for one in following[:1]) and at >= 0

    def _list_length(self, at: int) -> int:
        length = 0
        for one in self.items[at : at + _LONGEST_LIST]:
            if isinstance(one.item, Count | OutOf):
                length += 1
            elif isinstance(one.item, Load | Effort) or (
                isinstance(one.item, Said) and not one.item.has("and", "then")
            ):
                break
        return length

    def _forget(self) -> None:
        self.draft.sets.clear()
        self.open.clear()
        self.covered.clear()
        self.current, self.leading = None, False

    # effort and failure

    def _effort(self, ratings: tuple[float | None, ...], late: bool, at: int) -> None:
        if late and not self.draft.sets:
            self.draft.late = ratings[0]
        if None in ratings:
            self.draft.doubts.append("rating")
        elif self.place is not None and ratings[0] is not None:
            self.draft.placed.append((self.place, ratings[0]))
            self.place = None
        elif not self.draft.sets:
            self.ahead.append((ratings[0], self._each(at)))
        else:
            self._rate(ratings, self._each(at))

    def _rate(self, ratings: tuple[float | None, ...], each: bool) -> None:
        sets = self.draft.sets
        unrated = [one for one in sets if not one.ratings]
        if len(ratings) == 1:
            for drafted in unrated if each else sets[-1:]:
                drafted.ratings.append(ratings[0])
        elif len(ratings) in (len(sets), len(unrated)):
            for drafted, rating in zip(sets if len(ratings) == len(sets) else unrated, ratings, strict=True):
                drafted.ratings.append(rating)
        else:
            self.draft.doubts.append("ratings_do_not_fit")

    def _each(self, at: int) -> bool:
        """Whether `each`, `all` stands in the clause of the rating, or right beside it."""
        clause = self.items[at].clause
        places = {one.clause for one in self.items if isinstance(one.item, Said) and one.item.has("each")}
        return clause in places or any(abs(place - clause) == 1 and not self._gear_or_counts(place) for place in places)

    def _gear_or_counts(self, clause: int) -> bool:
        return any(
            one.clause == clause and (gear_of(one.item) is not None or isinstance(one.item, Count | Group | OutOf))
            for one in self.items
        )

    def _fail(self, nth: int | None) -> None:
        sets = self.draft.sets
        if nth is None:
            self.fails_ahead = not sets
            if sets:
                sets[-1].failed = True
            return
        reps = nth - 1
        if sets and sets[-1].reps == reps and (self.place is None or sets[-1].at == self.place.at):
            sets[-1].failed = True
            return
        self._set(Drafted(reps, Decimal(reps), bare=False), -1)
        sets[-1].failed = True
        self.failed = sets[-1]

    def _finish(self) -> None:
        sets = self.draft.sets
        if self.header is not None and len(sets) == 1 and self.header > 1 and sets[0].bare and sets[0].at is None:
            self.draft.doubts.append("total_or_each")
        if self.header is not None and len(sets) == 1 and self.header > 1 and not sets[0].bare:
            sets += [replace(sets[0]) for _ in range(min(self.header, 99) - 1)]
        if not sets:
            self.draft.spare = self.current
        if self.fails_ahead and sets:
            sets[-1].failed = True
        for rating, each in self.ahead:
            for drafted in sets if each else sets[-1:]:
                drafted.ratings.append(rating)
        if self.ahead and not sets:
            self.draft.late = self.ahead[-1][0]
        self._apply_places()

    def _apply_places(self) -> None:
        rest: list[tuple[Position, Gear | float]] = []
        for position, said in self.draft.placed:
            chosen = self._chosen(position)
            if not chosen:
                rest.append((position, said))
            for drafted in chosen:
                if isinstance(said, Gear):
                    drafted.gear = said
                else:
                    drafted.ratings = [said]
        self.draft.placed = rest

    def _chosen(self, position: Position) -> list[Drafted]:
        sets = self.draft.sets
        if position.first:
            return sets[: position.first]
        return sets[position.at : position.at + 1 or None] if -len(sets) <= position.at < len(sets) else []


def _tells(item: object) -> bool:
    """Whether an item may belong to a set named by its place."""
    return gear_of(item) is not None or isinstance(item, Count | OutOf | Effort | ToFailure | Failed)
