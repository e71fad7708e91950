"""Phrases become the text of a message: the reader's language and unit, and numbers where there are no buttons."""

from collections.abc import Sequence

from bot.messengers import PostButton
from core.language import render
from core.phrases import Phrase
from core.speech import Button
from core.units import Unit


def text_of(lines: Sequence[Phrase], language: str, unit: Unit) -> str:
    """The lines of one message; a line that comes out empty is left out."""
    said = (render(line, language, unit).strip() for line in lines)
    return "\n".join(line for line in said if line)


def with_choices(text: str, buttons: Sequence[Button], language: str, unit: Unit) -> str:
    """The same choices as lines of text, for a messenger without buttons."""
    labels = [render(button.label, language, unit) for button in buttons]
    if not buttons[0].numbered:
        return f"{text}\n{' · '.join(labels)}"
    return "\n".join((text, *(f"{number}) {label}" for number, label in enumerate(labels, start=1))))


def post_buttons(buttons: Sequence[Button], language: str, unit: Unit) -> tuple[PostButton, ...]:
    """The buttons with the token that a tap brings back: "QUESTION:CHOICE"."""
    return tuple(
        PostButton(render(button.label, language, unit), f"{button.question}:{button.choice}") for button in buttons
    )
