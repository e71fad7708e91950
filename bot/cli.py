"""The command `plimsoll`: one table of commands, each in a module of its own that is imported when it is called."""

import sys
from importlib import import_module
from typing import Final

COMMANDS: Final = {
    "try": ("bot.commands.trial", "the whole coach in this terminal, with an invented club; no account, no network"),
    "run": ("bot.commands.service", "serve every messenger that is configured until stopped"),
    "check": ("bot.commands.check", "look at settings, database, messengers, clock and backups; name what is wrong"),
    "read": ("bot.commands.reading", "what a message says: one message a line in, one JSON object a line out"),
    "load": ("bot.commands.loading", "what to hang for a load, or for a whole session with the fewest moves"),
    "steps": ("bot.commands.steps", "every step a kit can make, in one order of system mass"),
    "advise": ("bot.commands.advice", "the next session for an athlete file"),
    "buy": ("bot.commands.buying", "what closes the worst gaps between coming steps, for a budget"),
    "share": ("bot.commands.sharing", "tonight's sheet: one rack, many athletes"),
    "import": ("bot.commands.importing", "add or update an athlete from an athlete file"),
    "export": ("bot.commands.exporting", "print the athlete file of one athlete"),
    "invite": ("bot.commands.inviting", "a one-time code for an athlete or a coach"),
    "erase": ("bot.commands.erasing", "delete everything about an athlete"),
    "simulate": ("bot.commands.simulating", "seasons of virtual athletes against the engine"),
}

NOTE: Final = "Training advice, not medical advice: licensed practitioners and local rules come first."


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the exit code is 0, or 2 with one sentence on stderr."""
    words = sys.argv[1:] if arguments is None else arguments
    if not words or words[0] in ("-h", "--help", "help"):
        sys.stdout.write(overview())
        return 0 if words else 2
    if words[0] == "--version":
        from importlib.metadata import version

        sys.stdout.write(f"plimsoll {version('plimsoll')}\n")
        return 0
    if words[0] not in COMMANDS:
        known = ", ".join(COMMANDS)
        return complain(f"There is no command “{words[0][:40]}”; use one of {known}, or “plimsoll --help”.")
    return _run(words[0], words[1:])


def overview() -> str:
    """What `plimsoll --help` prints; it imports no command."""
    width = max(len(name) for name in COMMANDS)
    listed = "\n".join(f"  {name:<{width}}  {purpose}" for name, (_, purpose) in COMMANDS.items())
    return (
        "usage: plimsoll COMMAND [OPTIONS]\n\nA strength coach for pull-ups that lives in a chat.\n\n"
        f"{listed}\n\n“plimsoll COMMAND --help” shows a command's options and an example.\n{NOTE}\n"
    )


def _run(name: str, words: list[str]) -> int:
    from core.problems import BadInput

    module = import_module(COMMANDS[name][0])
    try:
        code: int = module.run(module.parser(f"plimsoll {name}").parse_args(words))
    except BadInput as mistakes:
        return complain(str(mistakes))
    except BrokenPipeError:
        return _pipe_closed()
    except KeyboardInterrupt:
        return 130
    return code


def _pipe_closed() -> int:
    """Whoever read our output has gone (`| head`): not a mistake."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def complain(sentence: str) -> int:
    """Their mistake, said on stderr; the exit code for it."""
    sys.stderr.write(f"{sentence}\n")
    return 2


if __name__ == "__main__":
    sys.exit(main())
