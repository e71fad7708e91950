"""How fast we may post: counts in sliding windows per bot, per chat and per group; time is an argument.

A call holds its place from its start until the window has passed after its *end*. The network counts it somewhere in
between, so by the network's own clock, too, no window ever holds more than allowed, however slow the way there is.
"""

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field


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

    def room(self, now: float, most: int) -> int:
        """How many calls may start now; at most `most`."""
        self._forget(now)
        if self.parked_until > now:
            return 0
        for limit in self.limits:
            counted = sum(end + limit.seconds > now for end in self.ends)
            most = min(most, limit.count - self.under_way - counted)
        return max(most, 0)

    def counts(self, now: float) -> bool:
        """Whether it is still worth remembering."""
        self._forget(now)
        return bool(self.under_way or self.ends or self.parked_until > now)

    def _forget(self, now: float) -> None:
        longest = max((limit.seconds for limit in self.limits), default=0.0)
        while self.ends and self.ends[0] + longest <= now:
            self.ends.popleft()


class Pace:
    """The windows of one messenger's bot and chats; `is_group` tells by a chat's address which limits it has."""

    def __init__(self, limits: Limits, is_group: Callable[[str], bool]) -> None:
        self._limits, self._is_group = limits, is_group
        self._bot = Window(limits.bot)
        self._chats: dict[str, Window] = {}

    def free_at(self, chat: str, now: float) -> float | None:
        """When `chat` may be called next; None: when a call under way has ended."""
        times = [window.free_at(now) for window in (self._bot, self._window(chat))]
        known = [at for at in times if at is not None]
        return max(known) if len(known) == len(times) else None

    def room(self, now: float, most: int) -> int:
        """How many calls, to chats that are free, may start now; at most `most`."""
        return self._bot.room(now, most)

    def next_room(self, now: float) -> float | None:
        """When the bot as a whole may call again; None: when a call under way has ended."""
        return self._bot.free_at(now)

    def busy(self, now: float) -> dict[str, float | None]:
        """The chats that may not be called now, and when they may; None: when a call under way has ended."""
        times = {chat: window.free_at(now) for chat, window in self._chats.items()}
        self._chats = {chat: window for chat, window in self._chats.items() if window.counts(now)}
        return {chat: at for chat, at in times.items() if at is None or at > now}

    def start(self, chat: str) -> None:
        for window in (self._bot, self._window(chat)):
            window.under_way += 1

    def end(self, chat: str, now: float) -> None:
        for window in (self._bot, self._window(chat)):
            window.under_way -= 1
            if window.limits:
                window.ends.append(now)

    def remember(self, calls: Iterable[tuple[str, float]]) -> None:
        """Chats called, and when, in an earlier life of this process: a restart is no licence to hurry."""
        for chat, end in sorted(calls, key=lambda call: call[1]):
            self._window(chat).ends.append(end)
            self._bot.ends.append(end)

    def park(self, chat: str, until: float) -> None:
        """The network asked us to leave this chat alone."""
        window = self._window(chat)
        window.parked_until = max(window.parked_until, until)

    def _window(self, chat: str) -> Window:
        window = self._chats.get(chat)
        if window is None:
            window = self._chats[chat] = Window(self._limits.group if self._is_group(chat) else self._limits.chat)
        return window
