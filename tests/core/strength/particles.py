"""The same model by brute force: a bootstrap particle filter, written apart from the engine's filter.

Every quantity keeps its own, unbent equation: nothing is linear, nothing Gaussian after the prior. Only the
constants of the model and the likelihood of a record are shared.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.strength import days, fatigue, priors, readings, sets
from core.strength.state import FORM_SPREAD, TREND_MEAN, TREND_SPREAD
from core.training import PrescribedSet, Session, Set

Floats = NDArray[np.float64]


@dataclass
class Cloud:
    """Particles; `strength` is ln of the six-repetition load in grams, `form` in repetitions."""

    strength: Floats
    log_k: Floats
    form: Floats
    bias: Floats
    tiring: Floats
    trend: Floats

    def one_rm(self) -> Floats:
        """ln of the system 1RM."""
        return self.strength + np.log1p(5 * np.exp(self.log_k))

    def chosen(self, index: NDArray[np.intp]) -> "Cloud":
        return Cloud(*(getattr(self, name)[index] for name in self.__dataclass_fields__))


class Particles:
    """A man of known mass without bands; `history` is filtered session by session."""

    def __init__(self, mass_g: int, count: int, seed: int) -> None:
        self.mass_g, self.count, self.rng = mass_g, count, np.random.default_rng(seed)
        self.home = float(np.log(priors.CURVE["male"]))
        log_k = self.home + priors.CURVE_SPREAD * self._noise()
        middle, spread = priors.usual_one_rm(priors.Profile(sex="male"), mass_g)
        one_rm = middle + spread * self._noise()
        self.cloud = Cloud(
            strength=one_rm - np.log1p(5 * np.exp(log_k)),
            log_k=log_k,
            form=FORM_SPREAD * self._noise(),
            bias=priors.BIAS + priors.BIAS_SPREAD * self._noise(),
            tiring=priors.TIRING_SPREAD * self._noise(),
            trend=TREND_MEAN + TREND_SPREAD * self._noise(),
        )

    def _noise(self) -> Floats:
        return self.rng.standard_normal(self.count)

    def _back(self, value: Floats, home: float, spread: float, span: float, gap: int) -> Floats:
        keep = np.exp(-gap / span)
        return home + (value - home) * keep + spread * np.sqrt(1 - keep * keep) * self._noise()

    def sleep(self, gap: int) -> None:
        """Days without a session, fewer than a lay-off."""
        c = self.cloud
        spans = {place: (span, spread) for place, span, spread in days.RETURNS}
        form, trend, curve, bias, tiring = (spans[place] for place, _, _ in days.RETURNS)
        c.strength = c.strength + min(gap, days.GAINING_DAYS) * c.trend + days.WANDER * np.sqrt(gap) * self._noise()
        c.form = self._back(c.form, 0.0, form[1], form[0], gap)
        c.trend = self._back(c.trend, TREND_MEAN, trend[1], trend[0], gap)
        c.log_k = self._back(c.log_k, self.home, curve[1], curve[0], gap)
        c.bias = self._back(c.bias, priors.BIAS, bias[1], bias[0], gap)
        c.tiring = self._back(c.tiring, 0.0, tiring[1], tiring[0], gap)

    def train(self, session: Session, mass_spread: float) -> None:
        """All sets of a session, each with its prescription."""
        worth = sets.worth_of_one(float(np.exp(np.mean(self.cloud.log_k))))
        self.cloud.form = self.cloud.form + mass_spread / worth * self._noise()
        brief, lasting, total = (np.zeros(self.count) for _ in range(3))
        for done, asked in zip(session.sets, session.prescribed, strict=True):
            possible = self._possible(done, brief + lasting)
            scatter = sets.noise(brief + lasting, possible)
            weight = self._weight(done, asked, possible + scatter * self._noise())
            index = np.searchsorted(np.cumsum(weight), (np.arange(self.count) + self.rng.random()) / self.count)
            index = np.minimum(index, self.count - 1)
            self.cloud = self.cloud.chosen(index)
            brief, lasting, total, possible = brief[index], lasting[index], total[index], possible[index]
            used = np.minimum(done.reps / np.maximum(possible, 1.0), 1.0) ** fatigue.NEARNESS
            taken = (1 - np.minimum(brief + lasting, 1.0)) * used
            total = total + taken
            brief = (brief + (1 - fatigue.LASTING) * taken) * np.exp(-asked.rest_s / fatigue.BRIEF_S)
            lasting = (lasting + fatigue.LASTING * taken) * np.exp(-asked.rest_s / fatigue.LASTING_S)
        self.cloud.form = self.cloud.form - fatigue.TOLL * total * (1 + 0.5 * self._noise())

    def _possible(self, done: Set, lost: Floats) -> Floats:
        assert done.added_g is not None
        c = self.cloud
        k = np.exp(c.log_k)
        capacity = c.strength + c.form * k / (1 + 5 * k) + np.log1p(5 * k)
        fresh = 1 + (np.exp(capacity) / (self.mass_g + done.added_g) - 1) / k
        return fresh * (1 - np.minimum(lost * np.exp(c.tiring), fatigue.MOST_LOST))

    def _weight(self, done: Set, asked: PrescribedSet, real: Floats) -> Floats:
        """Likelihood with the set's scatter already drawn, hence next to none left in it."""
        found = readings.likelihood(readings.reading(done, asked), real, self.cloud.bias, 0.12)
        return found / found.sum()


def filtered(history: Sequence[Session], mass_g: int, spreads: Sequence[float], count: int, seed: int) -> list[Cloud]:
    """The cloud after each session; `spreads` are those of the body mass on each day."""
    particles, clouds = Particles(mass_g, count, seed), []
    before = None
    for session, spread in zip(history, spreads, strict=True):
        if before is not None:
            particles.sleep((session.day - before).days)
        before = session.day
        particles.train(session, spread)
        clouds.append(particles.cloud)
    return clouds
