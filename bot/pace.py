"""How fast we may post: counts in sliding windows per bot, per chat and per group; time is an argument.

A call holds its place from its start until the window has passed after its *end*. The network counts it somewhere in
between, so by the network's own clock, too, no window ever holds more than allowed, however slow the way there is.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field

REMEMBERED = 4096  # chats whose last call is over are forgotten in between


@dataclass(frozen=True, slots=True)
class Limit:
    """At most `count` calls in any `seconds`."""

    count: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Limits:
    """Of one messenger. Source of the defaults: the Bot API's FAQ, "My bot is hitting limits"."""

    bot: tuple[Limit, ...] = (Limit(30, 1.0),)
    chat: tuple[Limit, ...] = (Limit(1, 1.0),)
    group: tuple[Limit, ...] = (Limit(1, 1.0), Limit(20, 60.0))


UNLIMITED = Limits((), (), ())


@dataclass(slots=True)
class Window:
    """The calls that still count against one set of limits."""

    limits: tuple[Limit, ...]
    under_way: int = 0
    ends: deque[float] = field(default_factory=deque)  # oldest first
    parked_until: float = 0.0

    def free_at(self, now: float) -> float | None:
        """When the next call may start; `now` if at once, None if only after a call under way has ended."""
        at = max(now, self.parked_until)
        self._forget(now)
        for limit in self.limits:
            if self.under_way >= limit.count:
                return None
            places = limit.count - self.under_way
            recent = len(self.ends) - places  # the youngest end that must have left the window
            if recent >= 0:
                at = max(at, self.ends[recent] + limit.seconds)
        return at

    def _forget(self, now: float) -> None:
        longest = max((limit.seconds for limit in self.limits), default=0.0)
        while self.ends and self.ends[0] + longest <= now:
            self.ends.popleft()


class Pace:
    """The windows of one messenger's bot and chats."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._bot = Window(limits.bot)
        self._chats: dict[str, Window] = {}

    def free_at(self, chat: str, group: bool, now: float) -> float | None:
        """When `chat` may be called next; None: when a call under way has ended."""
        times = [window.free_at(now) for window in (self._bot, self._window(chat, group))]
        known = [at for at in times if at is not None]
        return max(known) if len(known) == len(times) else None

    def full(self, now: float) -> bool:
        """Whether no chat at all may be called now."""
        at = self._bot.free_at(now)
        return at is None or at > now

    def start(self, chat: str, group: bool) -> None:
        for window in (self._bot, self._window(chat, group)):
            window.under_way += 1

    def end(self, chat: str, group: bool, now: float) -> None:
        for window in (self._bot, self._window(chat, group)):
            window.under_way -= 1
            if window.limits:
                window.ends.append(now)
        self._forget(now)

    def remember(self, chat: str, group: bool, ends: Iterable[float]) -> None:
        """Calls of an earlier life of this process, so that a restart is no licence to hurry."""
        for end in sorted(ends):
            self._window(chat, group).ends.append(end)
            self._bot.ends.append(end)

    def park(self, chat: str, group: bool, until: float) -> None:
        """The network asked us to leave this chat alone."""
        window = self._window(chat, group)
        window.parked_until = max(window.parked_until, until)

    def _window(self, chat: str, group: bool) -> Window:
        window = self._chats.get(chat)
        if window is None:
            window = self._chats[chat] = Window(self._limits.group if group else self._limits.chat)
        return window

    def _forget(self, now: float) -> None:
        if len(self._chats) > REMEMBERED:
            self._chats = {chat: window for chat, window in self._chats.items() if _counts(window, now)}


def _counts(window: Window, now: float) -> bool:
    window.free_at(now)  # drops what has passed
    return bool(window.under_way or window.ends or window.parked_until > now)
