"""Pain in a joint or tendon, with its place and score; soreness, torn skin and healed pain are none."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from core.replies.items import Bands, Count, Effort, Failed, Noise, OutOf, Placed, Position, Punct, Said, by_clause
from core.replies.terms import Term
from core.training import Pain

WORST = 10
_OTHERS = ("other_person", "conditional", "plan")
_FAR = 6
_BESIDE = 12


@dataclass(frozen=True, slots=True)
class Sore:
    """One sore place."""

    place: str | None
    score: int | None
    scored: bool


@dataclass(frozen=True, slots=True)
class Soreness:
    """What a message says about pain, and the items without the numbers that told it."""

    pain: Pain | None
    healed: str | None
    items: list[Placed]
    present: bool


def soreness(placed: Sequence[Placed]) -> Soreness:
    """Reads pain clause by clause; scores are taken out of the numbers."""
    items = list(placed)
    found: list[Sore] = []
    healed: str | None = None
    mentioned: str | None = None
    groups = by_clause(items)
    asked = {one.sentence for one in items if isinstance(one.item, Punct) and one.item.text in "?¿"}
    behind = dict(zip(groups, [*list(groups.values())[1:], []], strict=False))
    for clause, within in groups.items():
        if items[within[0]].sentence in asked:
            continue
        place = next(
            (str(term.meanings["place"]) for at in within for term in items[at].terms if term.has("place")), None
        )
        sores, well = _clause(items, within, [*found, Sore(mentioned, None, False)] if mentioned else found)
        if sores and sores[-1].score is None and not sores[-1].scored:
            sores[-1] = _scored_behind(items, groups.get(clause + 1, []), sores[-1])
        if sores and sores[0].place is None and mentioned is not None:
            sores[0] = replace(sores[0], place=mentioned)
        if sores:
            _pardon_failures(items, within)
        if well is not None and _says(items, within, "eased"):
            eased = _eased(items, within, behind[clause], well)
            sores = [] if eased is None else [eased]
            known = any(one.place == well and one.scored for one in found)
            well = well if eased is None and not known else None
        if healed is not None and any(one.place == healed for one in sores) and _says(items, within, "still"):
            healed = None
        found += sores
        healed = healed or well
        mentioned = place or mentioned
    hurting = [one for one in found if one.place is None or one.place != healed or one.scored]
    if healed is not None:
        hurting = [one for one in hurting if one.place not in (healed, None)]
    return Soreness(_worst(hurting), healed if healed and not hurting else None, items, bool(found))


def _eased(items: list[Placed], within: Sequence[int], behind: Sequence[int], place: str) -> Sore | None:
    """`elbow better, 3/10`; `a bit better but still 3`: what got better and still hurts."""
    if any(not isinstance(items[at].item, Said | Punct | Count | OutOf) for at in behind):
        behind = []
    numbers = [at for at in (*within, *behind) if isinstance(items[at].item, Count | OutOf) and not items[at].struck]
    if len(numbers) != 1:
        return None
    item = items[numbers[0]].item
    exact = isinstance(item, OutOf) and item.of == WORST
    still = (
        isinstance(item, Count) and not item.said and item.number <= WORST and _says(items, [*within, *behind], "still")
    )
    return Sore(place, _take(items, numbers[0]), True) if exact or still else None


def _says(items: Sequence[Placed], within: Sequence[int], kind: str) -> bool:
    return any(isinstance(one := items[at].item, Said) and one.has(kind) for at in within)


def _scored_behind(items: list[Placed], clause: Sequence[int], sore: Sore) -> Sore:
    """`elbow hurts, 4/10`; `tut weh, so ne 4`: the score in a clause of its own."""
    within = [at for at in clause if not isinstance(items[at].item, Punct)]
    said = [at for at in within if isinstance(items[at].item, Said)]
    numbers = [at for at in within if isinstance(items[at].item, Count | OutOf)]
    if len(said) + len(numbers) != len(within) or not numbers or within.index(numbers[0]) > 2:
        return sore
    item = items[numbers[0]].item
    small = any(isinstance(one := items[at].item, Said) and one.has("place") for at in said)
    exact = isinstance(item, OutOf) and item.of == WORST
    worded = isinstance(item, Count) and len(numbers) == 1 and not item.said and item.number <= WORST and bool(said)
    worded = worded and all(isinstance(one := items[at].item, Said) and one.has("article", "about") for at in said)
    if small or not (exact or worded):
        return sore
    return Sore(sore.place, _take(items, numbers[0]), True)


def _pardon_failures(items: list[Placed], within: Sequence[int]) -> None:
    """A set stopped by pain is not failed."""
    for at in within:
        if isinstance(items[at].item, Failed):
            items[at] = replace(items[at], struck="pain")


def _worst(found: Sequence[Sore]) -> Pain | None:
    if not found:
        return None
    scored = [one for one in found if one.score is not None]
    worst = max(scored, key=lambda one: one.score or 0) if scored else found[0]
    place = worst.place or next((one.place for one in found if one.place), None)
    return Pain(place, worst.score)


def _clause(items: list[Placed], within: Sequence[int], earlier: Sequence[Sore]) -> tuple[list[Sore], str | None]:
    said = [(at, one) for at in within if isinstance(one := items[at].item, Said)]
    if any(one.has(*_OTHERS) and not one.has("hurt", "healed", "place") for _, one in said):
        return [], None
    if any(one.has("pain_not", "skin", "past") and not one.has("hurt") for _, one in said):
        _strike_scores(items, within)
        now = any(one.has("healed_now") for _, one in said)
        return [], _healed(said, _places(items, said), earlier) if now else None
    places = _places(items, said)
    if any(one.has("soreness") for _, one in said) and not any(one.has("hurt_surely") for _, one in said):
        _strike_scores(items, within)
        return [], None
    if any(one.has("no_pain", "healed", "healed_now") for _, one in said):
        return [], _healed(said, places, earlier)
    if _denied(items, said):
        return [], None
    hurts = any(one.has("hurt", "hurt_surely", "hurt_alone") or (one.has("soft_hurt") and places) for _, one in said)
    if not hurts and not places:
        return [], None
    if not places and not any(one.has("hurt_alone") for _, one in said):
        return [], None
    return _sores(items, within, places, hurts, bool(earlier)), None


def _denied(items: Sequence[Placed], said: Sequence[tuple[int, Said]]) -> bool:
    """`no elbow pain`, `ohne Schmerzen`: denied just before."""
    for at, one in said:
        if one.has("hurt", "place") and not one.has("without"):
            before = [items[near].item for near in range(max(0, at - 3), at) if items[near].clause == items[at].clause]
            if any(isinstance(item, Said) and item.has("without") for item in before):
                return True
    return False


def _places(items: Sequence[Placed], said: Sequence[tuple[int, Said]]) -> list[tuple[int, str]]:
    return [(at, str(one.term.meanings["place"])) for at, one in said if one.has("place") and _is_place(items, at)]


def _is_place(items: Sequence[Placed], at: int) -> bool:
    """`back` is a place where nothing else in its meanings fits better: behind a side or an article, or with pain."""
    term: Term = items[at].terms[0]
    if not term.has("place_weak"):
        return True
    near = items[max(0, at - _BESIDE) : at + _BESIDE]
    beside = [one.item for one in near if one.clause == items[at].clause and isinstance(one.item, Said)]
    return any(one.has("hurt", "hurt_surely", "healed", "no_pain") for one in beside)


def _healed(said: Sequence[tuple[int, Said]], places: Sequence[tuple[int, str]], earlier: Sequence[Sore]) -> str | None:
    no_pain = any(one.has("no_pain", "healed_now") for _, one in said)
    if places and (any(one.has("healed") for _, one in said) or no_pain):
        return places[0][1]
    back = any(one.has("healed_now") for _, one in said)
    return next((one.place for one in earlier if one.place), None) if (back or no_pain) and earlier else None


def _sores(
    items: list[Placed], within: Sequence[int], places: Sequence[tuple[int, str]], hurts: bool, before: bool
) -> list[Sore]:
    scores = _scores(items, within, hurts or bool(places))
    if not hurts and not scores:
        return []
    if not places:
        score = _take(items, scores[0]) if scores else None
        return [Sore(None, score, bool(scores))] if hurts else []
    found: list[Sore] = []
    for place_at, (at, place) in enumerate(places):
        limit = places[place_at + 1][0] if place_at + 1 < len(places) else within[-1] + 1
        mine = [score for score in scores if at < score < limit] or [score for score in scores if score < at][-1:] * (
            place_at == 0
        )
        score = _take(items, mine[0]) if mine else None
        if hurts or mine:
            found.append(Sore(place, score, bool(mine)))
    return found


def _scores(items: Sequence[Placed], within: Sequence[int], painful: bool) -> list[int]:
    """Where a score stands in the clause: `4/10`, `an 8`, or a lone number behind the word of pain."""
    exact = [at for at in within if isinstance(item := items[at].item, OutOf) and item.of == WORST]
    if exact:
        return exact
    counted = [at for at in within if isinstance(items[at].item, Count | OutOf)]
    if len(counted) != 1 or not painful:
        return []
    at = counted[0]
    item = items[at].item
    lone = isinstance(item, Count) and not item.said and 0 <= item.number <= WORST
    return [at] if lone and _behind(items, within, at) else []


def _behind(items: Sequence[Placed], within: Sequence[int], at: int) -> bool:
    """A number after a place or pain word, not far."""
    for back in range(at - 1, max(at - _FAR, within[0] - 1), -1):
        item = items[back].item
        if isinstance(item, Said) and item.has("place", "hurt", "soft_hurt"):
            return True
        if isinstance(item, Effort | Bands | Position):
            return False
    return False


def _take(items: list[Placed], at: int) -> int | None:
    item = items[at].item
    items[at] = replace(items[at], item=Noise("pain"), struck="pain")
    number = item.number if isinstance(item, Count | OutOf) else Decimal(-1)
    whole = number == number.to_integral_value() and 0 <= number <= WORST
    return int(number) if whole else _rounded(number)


def _rounded(number: Decimal) -> int | None:
    return int(number + Decimal("0.5")) if 0 <= number <= WORST else None


def _strike_scores(items: list[Placed], within: Sequence[int]) -> None:
    for at in within:
        if isinstance(item := items[at].item, OutOf) and item.of == WORST:
            items[at] = replace(items[at], item=Noise("score"), struck="score")


__all__ = ["Punct", "Soreness", "soreness"]
