"""What delivery relies on, of every outbox."""

import asyncio
from collections.abc import Collection, Iterator, Sequence
from datetime import datetime, timedelta

import pytest

from bot.delivery import Chat
from bot.outbox import Anew, Close, Drop, Later, Move, Refuse, Sent, Turn, Uncertain, Verb, Verdict, Waiting
from core.speech import Lane
from tests.contracts.outbox_rigs import NOW, RIGS, OutboxRig, Posted

SECOND = timedelta(seconds=1)


@pytest.fixture(params=sorted(RIGS))
def rig(request: pytest.FixtureRequest) -> Iterator[OutboxRig]:
    with RIGS[request.param]() as rig:
        yield rig


def turn(
    rig: OutboxRig,
    ended: Sequence[tuple[Waiting, Verdict]] = (),
    at: datetime = NOW,
    room: int = 9,
    busy: Collection[Chat] = (),
) -> Turn:
    return asyncio.run(rig.outbox.turn(ended, at, {"telegram": room}, busy))


def ids(found: Turn) -> list[str]:
    return [row.id for row in found.rows]


def taken(rig: OutboxRig, at: datetime = NOW) -> Waiting:
    """The one row that a turn takes."""
    (row,) = turn(rig, at=at).rows
    return row


def test_an_empty_outbox_has_nothing(rig: OutboxRig) -> None:
    assert turn(rig) == Turn((), False, None)


def test_of_each_chat_the_oldest_row(rig: OutboxRig) -> None:
    first, other, second = rig.post(Posted("1")), rig.post(Posted("2")), rig.post(Posted("1", "y"))
    found = turn(rig)
    assert ids(found) == [first, other]
    assert found.more
    assert [rig.state(row) for row in (first, other, second)] == ["begun", "begun", "waiting"]
    following = turn(rig, [(row, Sent("7")) for row in found.rows])
    assert ids(following) == [second]
    assert not following.more
    assert rig.state(first) == "sent"


def test_a_row_says_what_it_is(rig: OutboxRig) -> None:
    worthless = NOW + timedelta(hours=1)
    rig.post(Posted("1", "words", prescribes=True, worthless_after=worthless))
    row = taken(rig)
    assert (row.messenger, row.chat, row.verb, row.prescribes, row.tries) == ("telegram", "1", Verb.MESSAGE, True, 0)
    assert row.worthless_after == worthless
    assert row.words is not None
    assert row.words.text == "words"


def test_no_more_than_there_is_room_for(rig: OutboxRig) -> None:
    rows = [rig.post(Posted(str(chat))) for chat in range(1, 5)]
    found = turn(rig, room=3)
    assert (ids(found), found.more) == (rows[:3], True)
    assert ids(turn(rig, room=0)) == []


def test_a_busy_chat_is_left_alone(rig: OutboxRig) -> None:
    rig.post(Posted("1"))
    other = rig.post(Posted("2"))
    found = turn(rig, busy=[("telegram", "1")])
    assert (ids(found), found.more) == ([other], True)


def test_chats_with_a_reply_come_before_those_with_broadcasts_only(rig: OutboxRig) -> None:
    broadcasts = [rig.post(Posted(str(chat), lane=Lane.BROADCAST)) for chat in (1, 2, 3)]
    reply = rig.post(Posted("4"))
    found = turn(rig, room=2)
    assert ids(found) == [reply, broadcasts[0]]


def test_a_reply_pulls_its_chat_forward_but_never_overtakes_within_it(rig: OutboxRig) -> None:
    rig.post(Posted("1", lane=Lane.BROADCAST))
    session = rig.post(Posted("2", lane=Lane.BROADCAST))
    rig.post(Posted("2", lane=Lane.REPLY))
    assert ids(turn(rig, room=1)) == [session]


def test_what_is_not_due_waits_and_holds_up_nothing(rig: OutboxRig) -> None:
    later = rig.post(Posted("1", due=NOW + 60 * SECOND))
    now = rig.post(Posted("1"))
    found = turn(rig)
    assert (ids(found), found.more) == ([now], False)
    idle = turn(rig, [(found.rows[0], Sent("7"))], NOW + 59 * SECOND)
    assert (ids(idle), idle.more, idle.next_due) == ([], False, NOW + 60 * SECOND)
    assert ids(turn(rig, at=NOW + 60 * SECOND)) == [later]


def test_a_retry_holds_up_its_own_chat_only(rig: OutboxRig) -> None:
    first = rig.post(Posted("1"))
    second, other = rig.post(Posted("1")), rig.post(Posted("2"))
    found = turn(rig, busy=[("telegram", "2")])
    assert ids(found) == [first]
    found = turn(rig, [(found.rows[0], Later(NOW + 10 * SECOND, False, "429"))])
    assert ids(found) == [other]
    idle = turn(rig, [(found.rows[0], Sent("7"))], NOW + 9 * SECOND)
    assert (ids(idle), idle.more, idle.next_due) == ([], False, NOW + 10 * SECOND)
    again = turn(rig, at=NOW + 10 * SECOND)
    assert ids(again) == [first]
    assert again.rows[0].tries == 1
    assert ids(turn(rig, [(again.rows[0], Sent("8"))], NOW + 10 * SECOND)) == [second]


@pytest.mark.parametrize(
    ("verdict", "state"),
    [
        (Sent("7"), "sent"),
        (Sent(""), "sent"),
        (Uncertain("cut"), "uncertain"),
        (Refuse("no"), "refused"),
        (Drop("late"), "dropped"),
    ],
)
def test_what_has_ended_has_ended(rig: OutboxRig, verdict: Verdict, state: str) -> None:
    row = rig.post(Posted("1"))
    ended = [(taken(rig), verdict)]
    assert ids(turn(rig, ended)) == []
    assert ids(turn(rig, ended, NOW + timedelta(days=1))) == []  # written down twice, if the first answer was lost
    assert rig.state(row) == state


def test_what_was_begun_and_never_ended_is_taken_up_again(rig: OutboxRig) -> None:
    answer, session = rig.post(Posted("1")), rig.post(Posted("2", prescribes=True))
    assert ids(turn(rig)) == [answer, session]
    rig.outbox = rig.again()
    found = turn(rig)
    assert ids(found) == [answer, session]
    assert [row.again for row in found.rows] == [False, True]  # the session says that it comes again


def test_the_stale_is_dropped_and_makes_room_at_once(rig: OutboxRig) -> None:
    stale = rig.post(Posted("1", worthless_after=NOW))
    fresh = rig.post(Posted("1", worthless_after=NOW + SECOND))
    found = turn(rig, room=1)
    assert (ids(found), found.more) == ([fresh], False)
    assert rig.state(stale) == "dropped"


def test_a_session_to_be_sent_again_says_so(rig: OutboxRig) -> None:
    rig.post(Posted("1", prescribes=True))
    turn(rig, [(taken(rig), Later(NOW + SECOND, True, "cut"))])
    assert taken(rig, NOW + SECOND).again


def test_a_closed_chat_refuses_all_that_waits_for_it(rig: OutboxRig) -> None:
    rows = [rig.post(Posted("1")), rig.post(Posted("1")), rig.post(Posted("1", due=NOW + SECOND))]
    other = rig.post(Posted("2"))
    found = turn(rig)
    turn(rig, [(found.rows[0], Close("blocked"))])
    assert [rig.state(row) for row in rows] == ["refused"] * 3
    assert rig.state(other) == "begun"


def test_a_moved_chat_is_followed_by_all_that_waits_for_it(rig: OutboxRig) -> None:
    first, second = rig.post(Posted("-5")), rig.post(Posted("-5"))
    found = turn(rig, [(taken(rig), Move("-1005"))])
    assert [(row.id, row.chat) for row in found.rows] == [(first, "-1005")]
    found = turn(rig, [(found.rows[0], Sent("1"))])
    assert [(row.id, row.chat) for row in found.rows] == [(second, "-1005")]


def test_an_edit_of_what_is_gone_becomes_a_message(rig: OutboxRig) -> None:
    row = rig.post(Posted("1", "card", verb=Verb.REACTION, target="9"))
    (again,) = turn(rig, [(taken(rig), Anew("not found"))]).rows
    assert (again.id, again.verb, again.target) == (row, Verb.MESSAGE, None)


def test_recent_calls_are_remembered_and_those_without_an_end_count_as_now(rig: OutboxRig) -> None:
    rig.post(Posted("1"))
    rig.post(Posted("2"))
    rig.post(Posted("3"))
    found = turn(rig, room=2)
    assert [row.chat for row in found.rows] == ["1", "2"]
    turn(rig, [(found.rows[0], Sent("7"))], NOW + SECOND, room=0)
    later = NOW + 30 * SECOND
    assert sorted(asyncio.run(rig.outbox.recent(later))) == [
        (("telegram", "1"), NOW + SECOND), (("telegram", "2"), later),
    ]  # fmt: skip
    assert [chat for chat, _ in asyncio.run(rig.outbox.recent(NOW + 62 * SECOND))] == [("telegram", "2")]
