"""Who pulls when, at which bar: like loads together, everybody rested, and never two in one band."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from core.kit import Kit
from core.problems import BadInput, Problem
from core.rack.night import Guest, Room, Turn

Seating = tuple[tuple[tuple[Guest, ...], ...], ...]  # bars, their blocks one after another, who is in turn in each
MOST_GUESTS, MOST_BARS, MOST_SETS, MOST_REST = 40, 10, 20, 10


def seated(guests: Sequence[Guest], room: Room) -> Seating:
    """A first seating: those with a belt at the first bars, like loads together, sets shared out evenly.

    Raises `BadInput` where the night cannot be.
    """
    check(guests, room)
    there = [guest for guest in guests if guest.sets]
    belted = sorted((one for one in there if one.usual_g > 0), key=lambda one: (one.usual_g, one.name))
    found: list[list[Guest]] = [[] for _ in range(room.bars)]
    with_belt = min(room.belts, room.bars)
    share = sum(len(one.sets) for one in belted) / max(with_belt, 1)
    done, lane = 0, 0
    for one in belted:
        if done + len(one.sets) / 2 > share * (lane + 1) and lane < with_belt - 1:
            lane += 1
        found[lane].append(one)
        done += len(one.sets)
    for one in sorted((one for one in there if one.usual_g == 0), key=lambda one: (-len(one.sets), one.name)):
        min(found, key=lambda lane: sum(len(other.sets) for other in lane)).append(one)
    return tuple(map(_blocks, found))


def _blocks(lane: Sequence[Guest]) -> tuple[tuple[Guest, ...], ...]:
    """The lane in blocks just large enough that everybody's rest is the others' sets. A belt stays as it is while
    somebody without one pulls, so each block gets its share of both."""
    if not lane:
        return ()
    count = max(1, len(lane) // (1 + max(guest.rest for guest in lane)))
    belted = [guest for guest in lane if guest.usual_g > 0]
    blocks: list[list[Guest]] = [[] for _ in range(count)]
    for place, guest in enumerate(belted):
        blocks[place * count // len(belted)].append(guest)
    for guest in lane:
        if guest.usual_g == 0:
            min(blocks, key=len).append(guest)
    return tuple(tuple(block) for block in blocks)


@dataclass(slots=True)
class _Place:
    """Where a guest stands in their sets while the rounds are dealt out."""

    guest: Guest
    block: int
    done: int = 0
    ready: int = 1


def deal(seating: Seating, kit: Kit) -> tuple[Turn, ...]:
    """Every set in a round, still without its load: at each bar one block finishes, then the next begins."""
    queues = [[_Place(guest, number) for number, block in enumerate(lane) for guest in block] for lane in seating]
    turns: list[Turn] = []
    number = 0
    while any(queues):
        number += 1
        used: Counter[str] = Counter()
        for bar, queue in enumerate(queues, 1):
            place = _next(queue, number, used, kit)
            if place is None:
                continue
            want = place.guest.sets[place.done]
            used.update(_rubbers(kit, want.bands))
            place.done, place.ready = place.done + 1, number + 1 + place.guest.rest
            turns.append(Turn(number, bar, place.guest.name, place.done, want))
            if place.done == len(place.guest.sets):
                queue.remove(place)
    return tuple(turns)


def _next(queue: Sequence[_Place], number: int, used: Counter[str], kit: Kit) -> _Place | None:
    """Of those who are rested and whose bands are free: the first block, who has done the least, lane order."""
    able = [place for place in queue if place.ready <= number and _free(place, used, kit)]
    return min(able, key=lambda place: (place.block, place.done), default=None)


def _free(place: _Place, used: Counter[str], kit: Kit) -> bool:
    wanted = used + Counter(_rubbers(kit, place.guest.sets[place.done].bands))
    return all(count <= rubber_count(kit, label) for label, count in wanted.items())


def _rubbers(kit: Kit, labels: Sequence[str]) -> list[str]:
    bands = [kit.band(label) for label in labels]
    return [kit.rubber(band) for band in bands if band is not None]


def rubber_count(kit: Kit, label: str) -> int:
    band = kit.band(label)
    return 0 if band is None else band.count


def check(guests: Sequence[Guest], room: Room) -> None:
    """Every reason why this night cannot be, at once."""
    problems = [*_room_faults(guests, room)]
    names = Counter(guest.name for guest in guests)
    problems += [Problem("night", f"{name} stands twice", "give each one name") for name, n in names.items() if n > 1]
    for guest in guests:
        what = _guest_fault(guest, room)
        if what is not None:
            problems.append(Problem(f"night, {guest.name}", *what))
    if problems:
        raise BadInput(problems)


def _room_faults(guests: Sequence[Guest], room: Room) -> list[Problem]:
    faults = []
    if not 1 <= room.bars <= MOST_BARS:
        faults.append(Problem("night", f"{room.bars} bars", f"give 1 to {MOST_BARS}"))
    if len(guests) > MOST_GUESTS:
        faults.append(Problem("night", f"{len(guests)} athletes", f"give at most {MOST_GUESTS}"))
    if room.belts < 1 and any(want.added_g for guest in guests for want in guest.sets):
        faults.append(Problem("night", "there are loads but no belt", "bring a belt, or plan without loads"))
    return faults


def _guest_fault(guest: Guest, room: Room) -> tuple[str, str] | None:
    if len(guest.sets) > MOST_SETS or not 0 <= guest.rest <= MOST_REST:
        return "too many sets or too long a rest", f"give at most {MOST_SETS} sets and {MOST_REST} rounds of rest"
    if any(want.added_g < 0 for want in guest.sets):
        return "a load is negative", "give 0 or more; help comes from a band"
    for want in guest.sets:
        counts = Counter(_rubbers(room.kit, want.bands))
        if any(room.kit.band(label) is None for label in want.bands):
            return f"the kit has no band {' + '.join(want.bands)}", "use one of the kit's bands"
        if any(count > rubber_count(room.kit, label) for label, count in counts.items()):
            return f"the kit has not enough of {' + '.join(want.bands)}", "use another band"
    return None
