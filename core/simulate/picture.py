"""What a picture of one season shows, as plain numbers and words; `bot.season_picture` draws it."""

from dataclasses import dataclass

from core.simulate.season import Season


@dataclass(frozen=True, slots=True)
class SeasonPicture:
    """Lines over days, masses in kilograms of system mass. `low`, `middle`, `high`: the estimate where there is
    one; `failed`: whether a set of that session failed; `words` says the same for those who do not see it."""

    title: str
    days: tuple[int, ...]
    true: tuple[float, ...]
    low: tuple[float | None, ...]
    middle: tuple[float | None, ...]
    high: tuple[float | None, ...]
    load: tuple[float, ...]
    failed: tuple[bool, ...]
    body: tuple[float, ...]
    words: str


def season_picture(one: Season, title: str) -> SeasonPicture:
    """The picture of a season; sessions without a set are left out."""
    trained = [session for session in one.trained if session.asked]
    bands = [(None, None, None) if each.estimate is None else each.estimate for each in trained]
    return SeasonPicture(
        title=title,
        days=tuple(each.day for each in trained),
        true=tuple(each.true_g / 1000 for each in trained),
        low=tuple(_kg(band[1]) for band in bands),
        middle=tuple(_kg(band[0]) for band in bands),
        high=tuple(_kg(band[2]) for band in bands),
        load=tuple(each.heaviest_g / 1000 for each in trained),
        failed=tuple(each.missed > 0 for each in trained),
        body=tuple(each.mass_g / 1000 for each in trained),
        words=_words(one),
    )


def _kg(mass_g: int | None) -> float | None:
    return None if mass_g is None else mass_g / 1000


def _words(one: Season) -> str:
    trained = [session for session in one.trained if session.asked]
    if not trained:
        return "No session."
    sets, failed = sum(len(each.asked) for each in trained), sum(each.missed for each in trained)
    first, last = trained[0], trained[-1]
    return (
        f"{len(trained)} sessions, {sets} sets, {failed} failed; true system 1RM from {first.true_g / 1000:.1f} "
        f"to {last.true_g / 1000:.1f} kg; heaviest set from {first.heaviest_g / 1000:.1f} to "
        f"{last.heaviest_g / 1000:.1f} kg of system mass."
    )
