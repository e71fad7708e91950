"""`plimsoll try`: be an athlete, the coach or the club chat of an invented club, in this terminal."""

import argparse
import asyncio
import sys

from bot.commands.common import Options
from bot.trial import COACH, GROUP, World
from core.club import Member, Role
from core.language.tables import plain

EXAMPLE = """  plimsoll try
  printf '5 5 4 at 7.5\\n/next\\n/coach\\nweek\\n' | plimsoll try"""

HELP = """/next        let time pass to the next session
/be NAME     be another athlete ({names})
/coach       be the coach
/club        be in the club chat
/help        show these commands
/leave       leave (or press Ctrl-D)"""


def parser(name: str) -> Options:
    return Options(
        name, "The whole coach with an invented club; nothing is kept, nothing leaves this machine.", EXAMPLE
    )


def run(options: argparse.Namespace) -> int:
    screen = Screen.for_this_terminal()
    world = World(lambda chat, text: screen.message(chat, text)).open()
    try:
        asyncio.run(Trial(world, screen).talk())
    except (KeyboardInterrupt, EOFError):
        screen.note("Left.")
    finally:
        world.close()
    return 0


class Screen:
    """Colour and frames on a terminal; plain lines on a pipe."""

    def __init__(self, framed: bool) -> None:
        self.framed = framed
        self.here = ""
        self.names: dict[str, str] = {}
        self._missed: dict[str, int] = {}

    @staticmethod
    def for_this_terminal() -> "Screen":
        return Screen(sys.stdout.isatty() and sys.stdin.isatty())

    def message(self, chat: str, text: str) -> None:
        """A message of ours: shown where we are, counted where somebody else would read it."""
        if chat != self.here:
            self._missed[chat] = self._missed.get(chat, 0) + 1
            return
        if self.framed:
            self._frame(text)
        else:
            self._line("\n".join(f"plimsoll> {line}" for line in text.split("\n")))

    def note(self, text: str) -> None:
        """A stage direction."""
        if self.framed:
            from rich.console import Console

            Console(highlight=False).print(text, style="dim", markup=False)
        else:
            self._line("\n".join(f"-- {line}" for line in text.split("\n")))

    def elsewhere(self) -> None:
        """Who else has heard something meanwhile."""
        missed = ", ".join(f"{self.names.get(chat, chat)} ({count})" for chat, count in sorted(self._missed.items()))
        if missed:
            self.note(f"messages for others: {missed}")
        self._missed.clear()

    def _frame(self, text: str) -> None:
        from rich.console import Console
        from rich.panel import Panel
        from rich.text import Text

        Console(highlight=False).print(Panel(Text(text), border_style="cyan", title="Plimsoll", title_align="left"))

    def _line(self, text: str) -> None:
        sys.stdout.write(printable(text) + "\n")
        sys.stdout.flush()


def printable(text: str) -> str:
    """Without terminal escapes or other control characters."""
    return "".join(c if c == "\n" or c.isprintable() else "�" for c in text)


class Trial:
    """Lines of a person become what somebody in the club types."""

    def __init__(self, world: World, screen: Screen) -> None:
        self._world, self._screen = world, screen
        self._members = {one.id: one for one in world.members()}
        screen.names = {one.id: one.name for one in self._members.values()} | {GROUP: "the club chat"}

    async def talk(self) -> None:
        first = next(one for one in self._members.values() if one.id == "mirela")
        names = self._athletes()
        self._screen.note("An invented club. Nothing is kept and nothing leaves this machine.")
        self._screen.note(HELP.format(names=names))
        self._become(first.id)
        await self._world.pass_time(first.id)
        self._screen.elsewhere()
        while (typed := await asyncio.to_thread(self._read)) is not None:
            if typed.strip() in ("/leave", "/quit", "/exit"):
                break
            await self._typed(typed.strip())
        self._screen.note("Left.")

    def _athletes(self) -> str:
        return ", ".join(one.name for one in self._members.values() if one.role is Role.ATHLETE)

    def _read(self) -> str | None:
        if self._screen.framed:
            return input(f"{self._where()} > ")
        line = sys.stdin.readline()
        if not line:
            return None
        self._screen._line(f"{self._where()}> {line.rstrip()}")
        return line

    def _where(self) -> str:
        here = self._screen.here
        wall = self._world.local(COACH if here == GROUP else here)
        return f"{self._screen.names[here]}, {wall:%a %H:%M}"

    async def _typed(self, text: str) -> None:
        verb, _, rest = text.partition(" ")
        match verb.casefold():
            case "":
                return
            case "/next":
                await self._world.pass_time(self._screen.here if self._screen.here in self._members else "mirela")
            case "/be":
                self._be(rest)
            case "/coach":
                self._become(COACH)
            case "/club":
                self._become(GROUP)
                await self._world.hear(GROUP, "board")
            case "/help":
                self._screen.note(HELP.format(names=self._athletes()))
            case _:
                await self._world.hear(self._screen.here, text)
        self._screen.elsewhere()

    def _be(self, name: str) -> None:
        found = self._named(name)
        if found is None:
            self._screen.note(f"Nobody here is called “{name}”; there are {self._athletes()}.")
        else:
            self._become(found.id)

    def _named(self, name: str) -> Member | None:
        said = plain(name)
        begun = (one for one in self._members.values() if said and plain(one.name).startswith(said))
        return next(begun, None)

    def _become(self, chat: str) -> None:
        self._screen.here = chat
        self._screen.note(f"You are {self._screen.names[chat]}. It is {self._where().partition(', ')[2]}.")
