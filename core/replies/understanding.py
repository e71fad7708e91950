"""From text to a reading: tokens, terms, items, scope, facts, sets; one pass each."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.answers import answer
from core.replies.candidates import candidates
from core.replies.checks import doubtful, load_or_reps, repeats_logged
from core.replies.corrections import Corrected, corrected
from core.replies.days import Days, days
from core.replies.draft import Draft
from core.replies.drafting import Drafting
from core.replies.grammar import parse
from core.replies.items import Count, Doubt, Group, Load, OutOf, Placed, Relative, Said, Times, Unknown
from core.replies.labels import labels
from core.replies.lexicon import language_of, lexicon
from core.replies.masses import weight
from core.replies.pains import soreness
from core.replies.plausible import plausible, strike_unexplained
from core.replies.reading import Context, Reading, Unclear
from core.replies.resolve import complete
from core.replies.scope import scope
from core.replies.session import whole
from core.replies.signs import settle
from core.replies.terms import Term, terms, texts
from core.replies.tokens import tokenise
from core.training import Set

LONGEST_TEXT = 20_000
_IDLE = (
    "unknown_unit",
    "piece_without_mass",
    "unknown_band",
    "which_band",
    "unexplained_load",
    "unreadable_load",
    "impossible_day",
)  # no question without a set


def read(text: str, context: Context) -> Reading:
    """What `text` says in `context`. Never raises; the same text and context give the same reading."""
    tokens = tokenise(text[:LONGEST_TEXT])
    words = lexicon(language_of(tokens, context.language))
    found = terms(tokens, words, labels(context.bands))
    placed = settle(scope(parse(found, context), context), context)
    dated = days(found, context)
    sore = soreness(placed)
    weighed = weight(sore.items, context)
    facts = Reading(
        skipped=dated.skipped,
        bodyweight_g=weighed.mass_g,
        pain=sore.pain,
        healed=sore.healed,
        move_to=dated.move_to,
        away=dated.away,
        note=_note(placed),
    )
    if context.asked is not None and not dated.gone:
        answered = answer(weighed.items, found, facts, context)
        if answered is not None:
            return answered
    if weighed.ask and not dated.gone:
        supposed = (replace(facts, bodyweight_g=weighed.supposed_g),)
        return replace(facts, unclear=Unclear("bodyweight", supposed))
    return _sets(weighed.items, facts, dated, context)


def _note(placed: Sequence[Placed]) -> str:
    """The words that carried no fact."""
    spare: list[Term] = []
    for one in placed:
        if isinstance(one.item, Unknown) or (isinstance(one.item, Said) and not one.item.term.mark) or one.struck:
            spare += one.terms
    return texts(spare)


def _sets(placed: Sequence[Placed], facts: Reading, dated: Days, context: Context) -> Reading:
    if dated.gone or (dated.skipped and not _reports(placed)):
        return facts
    kept = strike_unexplained(placed, context)
    draft = Drafting(kept).run()
    session = whole(kept, draft, context)
    if session is not None:
        return _added(session.sets, session.ask, draft, facts, context)
    mended = corrected(kept, draft, context)
    if mended is not None:
        return _mended(mended, draft, facts, context)
    return _reported(kept, draft, facts, dated, context)


def _reports(placed: Sequence[Placed]) -> bool:
    """A list of sets, whatever else is said."""
    counted = [one for one in placed if isinstance(one.item, Count | Group | OutOf | Times) and not one.struck]
    return len(counted) > 1 or any(not isinstance(one.item, Count) or one.item.said for one in counted)


def _mended(mended: Corrected, draft: Draft, facts: Reading, context: Context) -> Reading:
    if mended.ask:
        return replace(facts, unclear=Unclear(mended.ask, _either(mended, draft, facts, context)))
    if mended.record is not None:
        return _judged(mended.record, 0, replace(facts, sets=mended.record, mode="replace"), draft, context)
    sets, doubts = complete(mended.added, context)
    return _added(tuple(sets), (doubts or [""])[0], draft, facts, context)


def _either(mended: Corrected, draft: Draft, facts: Reading, context: Context) -> tuple[Reading, ...]:
    """`oops, 4` behind a logged 5: the last set mended, or the next one."""
    if mended.ask != "correction_or_new":
        return ()
    sets, _ = complete(draft.sets, context)
    last = replace(context.logged[-1], reps=draft.sets[0].reps, failed=False)
    return (
        replace(facts, sets=(*context.logged[:-1], last), mode="replace"),
        replace(facts, sets=tuple(sets), mode="add"),
    )


def _added(sets: tuple[Set, ...], ask: str, draft: Draft, facts: Reading, context: Context) -> Reading:
    if ask:
        return replace(facts, unclear=Unclear(ask))
    adding = replace(facts, sets=sets, mode="add" if sets else "none")
    return _judged(sets, len(context.logged), adding, draft, context)


def _judged(sets: Sequence[Set], start: int, reading: Reading, draft: Draft, context: Context) -> Reading:
    """The reading, or the question with its candidate answers."""
    why = draft.doubts[0] if draft.doubts else doubtful(sets, context, start)
    if not why:
        return reading
    plain = replace(reading, sets=(), mode="none")
    offered = candidates(why, draft.sets, reading, context) if sets else ()
    return replace(plain, unclear=Unclear(why, offered))


def _reported(placed: Sequence[Placed], draft: Draft, facts: Reading, dated: Days, context: Context) -> Reading:
    start = 0 if dated.day is not None else len(context.logged)
    where = replace(context, logged=()) if dated.day is not None else context
    sets, doubts = complete(draft.sets, where, start)
    doubts = [*draft.doubts, *doubts]
    if not sets and draft.spare is not None and draft.spare.relative is not None:
        doubts.append("more_reps_or_load")
    if not sets:
        asking = [why for why in doubts if why not in _IDLE]
        return replace(facts, unclear=Unclear(asking[0])) if asking and _serious(placed) else facts
    if not doubts and load_or_reps(draft.sets, sets, where, start):
        doubts.append("load_or_reps")
    if not doubts and repeats_logged(sets, where):
        doubts.append("repeats_logged")
    if not doubts and not plausible(placed, draft, sets, where):
        doubts.append("not_sure_it_is_a_report")
    trained = dated.day is None  # whoever reports today's sets has not skipped today
    adding = replace(facts, sets=tuple(sets), mode="add", day=dated.day, skipped=facts.skipped and not trained)
    return _judged(sets, start, adding, replace(draft, doubts=doubts), where)


def _serious(placed: Sequence[Placed]) -> bool:
    """Whether a doubt without sets is worth a question: a load, a hedge between counts, a total."""
    return any(isinstance(one.item, Doubt | Load | Relative) and not one.struck for one in placed)
