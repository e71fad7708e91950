"""Delivery over the real client to the double, with an outbox in memory that outlives it."""

import asyncio
import time
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta

import pytest

from bot.delivery import Delivery, Draw, Way, no_pictures
from bot.messengers.telegram import Rhythm, Telegram
from bot.outbox import Verb
from bot.pace import UNLIMITED, Limit, Limits
from core.speech import Lane
from core.training import Json
from tests.bot.outbox_in_memory import MemoryOutbox
from tests.telegram_double import TelegramDouble
from tests.telegram_rules import Pace

ANN, BOB, GROUP = 4211, 4212, -555
Story = Callable[[TelegramDouble, MemoryOutbox, Delivery], Awaitable[None]]


def now() -> datetime:
    return datetime.now(UTC)


def is_group(chat: str) -> bool:
    return chat.startswith("-")


def deliver(
    story: Story,
    outbox: MemoryOutbox | None = None,
    double: TelegramDouble | None = None,
    limits: Limits = UNLIMITED,
    draw: Draw = no_pictures,
    at_once: int = 16,
) -> tuple[TelegramDouble, MemoryOutbox]:
    """A serving delivery for as long as the story takes; the double fails on any call before its time."""
    outbox = MemoryOutbox() if outbox is None else outbox
    double = TelegramDouble(pace=Pace(None, None, None)) if double is None else double
    double.known |= {str(ANN), str(BOB), str(GROUP)}

    async def run() -> None:
        async with double:
            messenger = Telegram("1:TEST", double.url, rhythm=Rhythm(answer_within_s=0.3))
            delivery = Delivery(outbox, [Way(messenger, limits, is_group)], now, draw, at_once)
            serving = asyncio.create_task(delivery.serve())
            try:
                await asyncio.sleep(0)
                await story(double, outbox, delivery)
            finally:
                serving.cancel()
                await asyncio.gather(serving, return_exceptions=True)
                await messenger.close()

    asyncio.run(run())
    double.port = 0
    assert double.pace.early == []
    return double, outbox


def settled(outbox: MemoryOutbox) -> bool:
    return all(row.state != "waiting" for row in outbox.rows)


async def all_settled(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
    delivery.wake()
    await double.until(lambda: settled(outbox), 10)


def states(outbox: MemoryOutbox) -> list[str]:
    return [row.state.split()[0] for row in outbox.rows]


def test_rows_of_a_chat_arrive_in_order_and_are_written_down_together() -> None:
    outbox = MemoryOutbox()
    for number in range(20):
        outbox.post(ANN if number % 2 else BOB, str(number))
    double, outbox = deliver(all_settled, outbox)
    assert double.texts(BOB) == [str(number) for number in range(0, 20, 2)]
    assert double.texts(ANN) == [str(number) for number in range(1, 20, 2)]
    assert [row.state.split()[1] for row in outbox.rows if row.waiting.chat == str(ANN)] == [
        str(one.message) for one in double.sent if one.chat == str(ANN)
    ]


def test_a_burst_to_many_chats_takes_few_transactions() -> None:
    outbox = MemoryOutbox()
    double = TelegramDouble(pace=Pace(None, None, None), latency_s=0.02)
    for chat in range(1, 101):
        outbox.post(chat, "x")
        double.known.add(str(chat))
    deliver(all_settled, outbox, double, at_once=50)
    assert outbox.turns < 60


def test_a_new_row_wakes_a_resting_delivery() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        await asyncio.sleep(0.1)
        outbox.post(ANN, "x")
        start = time.monotonic()
        delivery.wake()
        await double.until(lambda: settled(outbox))
        assert time.monotonic() - start < 2  # it would have looked by itself after five seconds

    deliver(story)


def test_a_row_waits_for_its_time_and_holds_up_no_other() -> None:
    outbox, start = MemoryOutbox(), time.monotonic()
    outbox.post(ANN, "later", not_before=now() + timedelta(seconds=0.4))
    outbox.post(ANN, "now")
    double, _ = deliver(all_settled, outbox)
    assert double.texts(ANN) == ["now", "later"]
    assert double.sent[1].at >= start + 0.39  # two clocks


def test_replies_overtake_broadcasts_of_other_chats() -> None:
    outbox, before = MemoryOutbox(), list[int]()
    double = TelegramDouble(pace=Pace(None, None, None), latency_s=0.01)
    for chat in range(1, 41):
        outbox.post(chat, "reminder", lane=Lane.BROADCAST)
        double.known.add(str(chat))

    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        await double.until(lambda: len(double.sent) >= 4)
        before.append(len(double.sent))
        outbox.post(ANN, "reply")
        await all_settled(double, outbox, delivery)

    double, _ = deliver(story, outbox, double, at_once=2)
    place = [one.text for one in double.sent].index("reply")
    assert place <= before[0] + 4  # what was under way, and what had ended and not been written down
    assert len(double.sent) == 41


def test_within_the_limits_nothing_is_ever_refused_for_haste() -> None:
    """Scaled down: 8 in 0.5 s for the bot, one in 0.25 s a chat, 3 in 1 s a group; the double counts for itself."""
    outbox = MemoryOutbox()
    double = TelegramDouble(pace=Pace(8, 1, None, seconds=0.5, chat_seconds=0.25))
    limits = Limits((Limit(8, 0.5),), (Limit(1, 0.25),), (Limit(1, 0.25), Limit(3, 1.0)))
    for chat in [ANN, BOB, GROUP, *range(1, 21)]:
        double.known.add(str(chat))
        for number in range(4 if chat == GROUP else 2):
            outbox.post(chat, f"{chat} {number}")
    double, outbox = deliver(all_settled, outbox, double, limits)
    assert double.pace.too_fast == []
    assert set(states(outbox)) == {"sent"}
    at = [one.at for one in double.sent if one.chat == str(GROUP)]
    assert at[3] - at[0] >= 1.0


def test_without_own_limits_the_double_refuses() -> None:
    outbox = MemoryOutbox()
    for number in range(2):
        outbox.post(ANN, str(number))
    double = TelegramDouble(pace=Pace(30, 1, 20))
    double, _ = deliver(all_settled, outbox, double)
    assert double.pace.too_fast == [str(ANN)]
    assert double.texts(ANN) == ["0", "1"]


def test_a_parked_chat_waits_in_its_row_and_the_others_go_on() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        double.fail("sendMessage", 429, "Too Many Requests: retry after 1", retry_after=1)
        outbox.post(ANN, "first")
        outbox.post(ANN, "second")
        delivery.wake()
        await double.until(lambda: outbox.rows[0].retry_at is not None)
        outbox.post(BOB, "other")
        delivery.wake()
        await double.until(lambda: double.texts(BOB) == ["other"])
        assert outbox.rows[0].waiting.tries == 1
        await double.until(lambda: settled(outbox))

    double, _ = deliver(story)
    assert [one.text for one in double.sent] == ["other", "first", "second"]


def test_a_restart_is_no_licence_to_hurry() -> None:
    outbox = MemoryOutbox()
    limits = Limits((Limit(30, 1.0),), (Limit(1, 1.0),), ())
    double = TelegramDouble(pace=Pace(None, 1, None))
    outbox.post(ANN, "before")
    deliver(all_settled, outbox, double, limits)
    outbox.post(ANN, "after")
    double, _ = deliver(all_settled, outbox, double, limits)
    assert double.texts(ANN) == ["before", "after"]
    assert double.pace.too_fast == []


@pytest.mark.parametrize(
    ("row", "state", "texts"),
    [
        ({}, "uncertain", ["x"]),  # a confirmation is not said twice
        ({"prescribes": True}, "sent", ["x", "x"]),  # a session once more; its words say so, they are the store's
    ],
)
def test_a_cut_answer(row: dict[str, object], state: str, texts: list[str]) -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        double.cut("sendMessage")
        outbox.post(ANN, "x", **row)
        await all_settled(double, outbox, delivery)

    double, outbox = deliver(story)
    assert states(outbox) == [state]
    assert double.texts(ANN) == texts
    assert outbox.rows[0].waiting.again is bool(row)


def test_a_session_is_sent_again_only_once() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        double.cut("sendMessage", times=3)
        outbox.post(ANN, "x", prescribes=True)
        await all_settled(double, outbox, delivery)

    double, outbox = deliver(story)
    assert (states(outbox), len(double.sent)) == (["uncertain"], 2)


def test_repeatable_verbs_are_repeated_after_a_cut() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        theirs = double.says(ANN, "5 5 4")["message_id"]
        outbox.post(ANN, "card")
        await all_settled(double, outbox, delivery)
        card = outbox.rows[0].state.split()[1]
        double.cut("editMessageText")
        outbox.post(ANN, "", verb=Verb.REACTION, target=str(theirs))
        outbox.post(ANN, "card 2", verb=Verb.EDIT, target=card)
        outbox.post(ANN, "", verb=Verb.PIN, target=card)
        await all_settled(double, outbox, delivery)

    double, outbox = deliver(story)
    assert set(states(outbox)) == {"sent"}
    assert double.texts(ANN) == ["card", "card 2"]


def test_an_edit_of_what_is_gone_is_said_anew() -> None:
    outbox = MemoryOutbox()
    outbox.post(ANN, "card", verb=Verb.EDIT, target="9")
    double, _ = deliver(all_settled, outbox)
    assert [(one.method, one.text) for one in double.sent] == [("sendMessage", "card")]


def test_a_blocked_chat_is_closed_with_all_that_waits_for_it() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        double.blocks(ANN)
        outbox.post(ANN, "1")
        outbox.post(ANN, "2")
        outbox.post(BOB, "3")
        await all_settled(double, outbox, delivery)

    double, outbox = deliver(story)
    assert states(outbox) == ["closed", "closed", "sent"]
    assert len(outbox.told) == 1
    assert sum(method == "sendMessage" for method, _ in double.calls) == 2


def test_a_moved_group_is_followed() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        new = double.upgrades(GROUP)
        outbox.post(GROUP, "1")
        outbox.post(GROUP, "2")
        await all_settled(double, outbox, delivery)
        assert double.texts(new) == ["1", "2"]

    deliver(story)


def test_what_may_no_longer_be_said_is_not_said() -> None:
    outbox = MemoryOutbox(forbidden={"1"})
    outbox.post(ANN, "a session before the pain")
    outbox.post(ANN, "too late", worthless_after=now())
    outbox.post(ANN, "fine", worthless_after=now() + timedelta(hours=1))
    double, outbox = deliver(all_settled, outbox)
    assert double.texts(ANN) == ["fine"]
    assert states(outbox) == ["dropped", "dropped", "sent"]


def test_a_store_that_is_away_loses_nothing_and_is_said(caplog: pytest.LogCaptureFixture) -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        outbox.post(ANN, "x")
        delivery.wake()
        await double.until(lambda: bool(double.sent))
        outbox.failures = 2  # before the end of the try can be written down
        outbox.post(ANN, "y")
        delivery.wake()
        await double.until(lambda: settled(outbox), 8)

    double, _ = deliver(story, double=TelegramDouble(pace=Pace(None, None, None), latency_s=0.05))
    assert double.texts(ANN) == ["x", "y"]
    assert "outbox cannot be read now" in caplog.text


def test_stopping_lets_what_is_under_way_end_and_writes_it_down() -> None:
    async def story(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        outbox.post(ANN, "x")
        delivery.wake()
        await double.until(lambda: bool(double.sent))

    double, outbox = deliver(story, double=TelegramDouble(pace=Pace(None, None, None), latency_s=0.1))
    assert states(outbox) == ["sent"]
    assert double.texts(ANN) == ["x"]


def test_killed_between_send_and_record_it_is_sent_again() -> None:
    """The stated window: at most what was under way comes twice, nothing is lost."""

    async def killed(double: TelegramDouble, outbox: MemoryOutbox, delivery: Delivery) -> None:
        outbox.post(ANN, "x")
        delivery.wake()
        await double.until(lambda: bool(double.sent))
        outbox.failures = 10**6  # nothing is written any more

    double, outbox = deliver(killed, double=TelegramDouble(pace=Pace(None, None, None), latency_s=0.05))
    assert outbox.rows[0].waiting.begun
    outbox.failures = 0
    double, outbox = deliver(all_settled, outbox, double)
    assert double.texts(ANN) == ["x", "x"]
    assert states(outbox) == ["sent"]


def test_a_picture_is_drawn_when_it_is_sent_and_left_out_if_it_cannot_be() -> None:
    async def draw(spec: Json) -> bytes:
        return bytes([spec["pieces"]])  # a ValueError for what is no byte

    outbox = MemoryOutbox()
    outbox.post(ANN, "two plates", picture={"pieces": 2})
    outbox.post(ANN, "999 plates", picture={"pieces": 999})
    double, _ = deliver(all_settled, outbox, draw=draw)
    assert [(one.method, one.text) for one in double.sent] == [
        ("sendPhoto", "two plates"),
        ("sendMessage", "999 plates"),
    ]
    assert double.sent[0].params["photo"] == b"\x02"


def test_news_at_the_moment_of_stopping_does_not_keep_it_going() -> None:
    async def run() -> None:
        for steps in range(8):
            delivery = Delivery(MemoryOutbox(), [], now)
            serving = asyncio.create_task(delivery.serve())
            for _ in range(4):
                await asyncio.sleep(0)  # now it rests
            delivery.wake()
            for _ in range(steps):
                await asyncio.sleep(0)  # the news is on its way through the loop
            serving.cancel()
            await asyncio.wait([serving], timeout=1)
            assert serving.done()

    asyncio.run(run())
