"""What the maker's own finished vessels teach about the next one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fermtui.forecast.evidence import Evidence, tidy
from fermtui.forecast.pooling import PastBatch
from fermtui.forecast.posterior import Posterior, posterior
from fermtui.forecast.priors import Priors, fed_world

_FEWEST_READINGS = 2


@dataclass(frozen=True, slots=True)
class FinishedVessel:
    """A vessel that has run its course. `evidence` as it stood at its end; `known` its posterior when at hand."""

    evidence: Evidence
    known: Posterior | None = None


def priors_from(finished: Sequence[FinishedVessel]) -> Priors:
    """Beliefs that lean on the maker's own vessels: those with the same yeast and a similar original gravity count
    most (see `priors.worlds`). Vessels with fewer than two readings after pitching, or without an original gravity,
    teach nothing. The order of the vessels does not matter."""
    lessons = [lesson for vessel in finished if (lesson := past_batch_of(vessel)) is not None]
    return Priors(tuple(sorted(lessons, key=lambda x: (x.og, x.pace, x.lag, x.end, x.yeast or ""))))


def past_batch_of(vessel: FinishedVessel) -> PastBatch | None:
    """What one finished vessel teaches, or None; computed once and kept by whoever asks."""
    facts = tidy(vessel.evidence)
    if not facts.og_known or len(facts.readings) < _FEWEST_READINGS:
        return None
    fed = fed_world(vessel.evidence, facts)
    believed = vessel.known or posterior(vessel.evidence)
    rows = [(draw.count, draw.curves[0]) for draw in believed.draws]
    pace, pace_sd = _moments([(count, math.log(curve.k) - fed.ln_k) for count, curve in rows])
    lag, lag_sd = _moments([(count, math.log(curve.lag) - fed.ln_lag) for count, curve in rows])
    end, end_sd = _moments([(count, curve.end - fed.dry) for count, curve in rows])
    if not all(map(math.isfinite, (pace, lag, end))):
        return None
    return PastBatch(vessel.evidence.yeast, round(facts.og, 5), pace, pace_sd, lag, lag_sd, min(end, 0.02), end_sd)


def _moments(values: Sequence[tuple[int, float]]) -> tuple[float, float]:
    total = sum(count for count, _ in values)
    mean = sum(count * value for count, value in values) / total
    variance = sum(count * (value - mean) ** 2 for count, value in values) / total
    return round(mean, 5), round(math.sqrt(variance), 5)
