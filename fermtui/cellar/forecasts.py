"""The forecasts of loaded vessels: their answers from the cache, the model only for a question that is new."""

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui.cellar.cache import Cache
from fermtui.cellar.history import History, planned_doses
from fermtui.cellar.loaded import LoadedVessel
from fermtui.forecast.answers import ForecastAnswers
from fermtui.forecast.forecast import why_none
from fermtui.forecast.stored import stored_answers

if TYPE_CHECKING:
    from fermtui.forecast.posterior import Posterior


class Sources(NamedTuple):
    """Where forecasts come from: the cache of answers, that of the draws, and the history; the last two when asked."""

    cache: Cache
    draws: Callable[[], Cache]
    history: Callable[[], History]


def with_lazy_forecast(loaded: LoadedVessel, sources: Sources) -> LoadedVessel:
    """The vessel with a forecast that is made at the first question, in about 25 ms; earlier answers come from the
    cache. Neither is touched for a vessel of which nobody asks anything.
    """
    reason = why_none(loaded.facts)
    if reason is not None:
        return loaded._replace(forecast_ready=True, forecast_reason=reason)
    doses = planned_doses(loaded)

    @cache
    def parts() -> tuple[str, ...]:
        return loaded.key, str(loaded.facts.last_at), str(doses), sources.history().key

    def recall() -> dict[str, Any]:
        return sources.cache.get("answers", *parts(), read=stored_answers) or {}

    answers = ForecastAnswers(
        recall, lambda: _posterior(loaded, doses, parts(), sources), lambda: _without_own_vessels(loaded, doses)
    )
    return loaded._replace(answers=answers, answers_parts=parts, forecast_ready=True)


def with_forecast(loaded: LoadedVessel, sources: Sources) -> LoadedVessel:
    """The same with the forecast made, for those who ask while the screen waits."""
    made = with_lazy_forecast(loaded, sources)
    if made.answers is not None and not made.answers.known:
        made.answers.readings()
        made.answers.feeds()
    return made


def _without_own_vessels(loaded: LoadedVessel, doses: int) -> "Posterior":
    from fermtui.forecast.from_facts import foretell as made_from  # with the model: a warm start needs the answers only

    return made_from(loaded.facts, loaded.head.plan, doses)


def _posterior(loaded: LoadedVessel, doses: int, parts: tuple[str, ...], sources: Sources) -> "Posterior":
    from fermtui.forecast.from_facts import foretell as made_from  # with the model: a warm start needs the answers only
    from fermtui.forecast.posterior import Posterior

    stored = sources.draws().get("draws", *parts, read=Posterior.from_json)
    if stored is not None:
        return stored
    made = made_from(loaded.facts, loaded.head.plan, doses, sources.history().priors())
    sources.draws().put("draws", made.to_json(), *parts)
    return made
