"""One sync, room by room; what is owed afterwards; who reads a room; transaction ids. All pure."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.messengers import PostEdit, PostPicture, PostReaction, PostText
from bot.messengers.matrix_content import pinned, transaction
from bot.messengers.matrix_sync import Place, in_order, news, only_reader, while_inside

ME, ANN, EVE = "@bot:x", "@ann:x", "@eve:x"
Wire = dict[str, Any]


def says(text: str, ts: int = 1, event_id: str = "") -> Wire:
    name = event_id or f"${text}"
    return {
        "type": "m.room.message",
        "sender": ANN,
        "event_id": name,
        "origin_server_ts": ts,
        "content": {"body": text},
    }


def member(who: str, now: str, before: str | None = None) -> Wire:
    unsigned = {} if before is None else {"prev_content": {"membership": before}}
    content = {"membership": now, "displayname": who[1:4].title()}
    return {"type": "m.room.member", "state_key": who, "sender": who, "content": content, "unsigned": unsigned}


def answer(**rooms: Wire) -> Wire:
    return {"next_batch": "s2", "rooms": rooms}


def room(*events: Wire, limited: bool = False, state: tuple[Wire, ...] = ()) -> Wire:
    return {"timeline": {"events": list(events), "limited": limited, "prev_batch": "t1"}, "state": {"events": [*state]}}


def test_a_sync_is_told_room_by_room() -> None:
    told = news(
        answer(
            join={"!a": room(says("1"), limited=True, state=(member(ANN, "join"),)), "!b": room()},
            leave={"!c": room(state=(member(ME, "leave", "join"), member(ANN, "join")))},
            invite={"!d": {"invite_state": {}}},
        ),
        ME,
    )
    assert (told.next, told.invited, [one.chat for one in told.rooms]) == ("s2", ("!d",), ["!a", "!b", "!c"])
    assert [(one.gap, one.left) for one in told.rooms] == [("t1", False), (None, False), (None, True)]
    assert told.rooms[0].names == {ANN: "Ann"}
    assert [event["state_key"] for event in told.rooms[2].events] == [ME]  # that we left may stand in the state only


@pytest.mark.parametrize("broken", [{}, {"next_batch": 7}, {"next_batch": None, "rooms": {}}])
def test_what_is_no_sync_is_said_so(broken: Wire) -> None:
    with pytest.raises((LookupError, ValueError)):
        news(broken, ME)


@pytest.mark.parametrize("rooms", [[], None, {"join": []}, {"join": {"!a": None}}, {"join": {"!a": {"timeline": [1]}}}])
def test_an_odd_room_hides_nothing(rooms: object) -> None:
    assert news({"next_batch": "s2", "rooms": rooms}, ME).next == "s2"


def test_what_is_owed_is_kept_until_it_is_done() -> None:
    sealed = {"type": "m.room.encryption", "state_key": "", "content": {}}
    asked = Place("s1", "DEV").after(news(answer(invite={"!a": {}, "!b": {}}), ME))
    assert asked.join == ("!a", "!b")
    assert Place.parse(asked.to_text()) == asked
    inside = asked.after(news(answer(join={"!a": room(says("1")), "!c": room(sealed)}), ME))
    assert (inside.since, inside.device, inside.join, inside.leave) == ("s2", "DEV", ("!b",), ("!c",))
    gone = inside.after(news(answer(leave={"!b": room(), "!c": room()}), ME))
    assert (gone.join, gone.leave) == ((), ())
    assert inside.without("!b").without("!c") == replace(gone, since="s2")
    moved = {"type": "m.room.tombstone", "content": {"replacement_room": "!new"}}
    assert Place("s1", "DEV").after(news(answer(join={"!a": room(moved)}), ME)).join == ("!new",)
    assert Place.parse(None) == Place.parse("") == Place()


IN, OUT, NEW = member(ME, "join", "invite"), member(ME, "leave", "join"), member(ME, "join", "join")
ASKED, BACK = member(ME, "invite", "leave"), member(ME, "leave", "invite")


@pytest.mark.parametrize(
    ("events", "heard"),
    [
        ([says("1"), says("2")], "12"),
        ([says("1"), IN, says("2")], "2"),
        ([says("1"), ASKED, says("2"), IN, says("3")], "3"),
        ([says("1"), NEW, says("2")], "12"),
        ([says("1"), OUT, says("2")], "1"),
        ([says("1"), OUT, says("2"), ASKED, IN, says("3")], "13"),
        ([says("1"), BACK], ""),
        ([says("1"), member(ME, "join"), says("2")], "2"),
        ([says("1"), member(ME, "leave"), says("2")], "1"),
        ([says("1"), member(ANN, "join", "invite"), says("2")], "12"),
        ([], ""),
    ],
)
def test_only_what_was_said_while_we_were_there_is_heard(events: list[Wire], heard: str) -> None:
    kept = while_inside(events, ME)
    assert "".join(event["content"].get("body", "") for event in kept) == heard
    ours = [event for event in events if event.get("state_key")]
    assert [event for event in kept if event.get("state_key") == ME] == [one for one in ours if one["state_key"] == ME]


@given(st.lists(st.tuples(st.integers(0, 3), st.sampled_from("abcdef")), max_size=12))
def test_events_are_ordered_by_time_then_id_each_once(given_: list[tuple[int, str]]) -> None:
    unlike = {name: ts for ts, name in given_}
    events = [says(name, unlike[name], f"${name}") for _, name in given_]
    ordered = [(event["origin_server_ts"], event["event_id"]) for event in in_order(events)]
    assert ordered == sorted({(ts, f"${name}") for name, ts in unlike.items()})


def state(*more: Wire, rule: object = "invite", seen: object = "shared") -> list[Wire]:
    return [
        {"type": "m.room.join_rules", "state_key": "", "content": {"join_rule": rule}},
        {"type": "m.room.history_visibility", "state_key": "", "content": {"history_visibility": seen}},
        member(ME, "join"),
        *more,
    ]


@pytest.mark.parametrize(
    ("told", "reader"),
    [
        (state(member(ANN, "join")), ANN),
        (state(member(ANN, "invite")), ANN),
        (state(member(ANN, "join"), member(EVE, "leave")), ANN),
        (state(member(ANN, "join"), member(EVE, "ban")), ANN),
        (state(member(ANN, "join"), member(EVE, "join")), None),
        (state(member(ANN, "join"), member(EVE, "invite")), None),
        (state(), None),
        ([], None),
        (state(member(ANN, "join"), rule="public"), None),
        (state(member(ANN, "join"), rule="restricted"), None),
        (state(member(ANN, "join"), rule=None), None),
        (state(member(ANN, "join"), rule="knock"), ANN),
        (state(member(ANN, "join"), seen="world_readable"), None),
        (state(member(ANN, "join"), seen="joined"), ANN),
    ],
)
def test_who_alone_reads_a_room(told: list[Wire], reader: str | None) -> None:
    assert only_reader(told, ME) == reader


def test_a_transaction_id_is_the_same_for_the_same_posting_only() -> None:
    postings = [
        PostText("1", "!a", "x"), PostText("2", "!a", "x"), PostText("1", "!a", "y"), PostEdit("1", "!a", "$m", "x"),
        PostEdit("1", "!a", "$n", "x"), PostReaction("1", "!a", "$m"), PostPicture("1", "!a", b"1", "x"),
        PostPicture("1", "!a", b"2", "x"),
    ]  # fmt: skip
    ids = [transaction(one) for one in postings]
    assert len(set(ids)) == len(ids)
    assert ids == [transaction(one) for one in postings]
    assert transaction(postings[0], 1) != ids[0]
    assert transaction(replace(postings[0], again=True)) == ids[0]


@pytest.mark.parametrize(
    ("now", "then"),
    [
        (None, ["$m"]),
        ({}, ["$m"]),
        ({"pinned": "x"}, ["$m"]),
        ({"pinned": ["$a", 7]}, ["$a", "$m"]),
        ({"pinned": ["$m"]}, None),
    ],
)
def test_a_pin_keeps_the_others(now: object, then: list[str] | None) -> None:
    assert pinned(now, "$m") == then


def test_a_cursor_is_small_plain_json() -> None:
    assert json.loads(Place("s1", "DEV").to_text()) == {"since": "s1", "device": "DEV", "join": [], "leave": []}
