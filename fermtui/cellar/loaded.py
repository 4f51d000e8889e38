"""What is remembered of one vessel between two looks: its facts, its schedule and its forecast, none with a clock."""

from collections.abc import Callable
from datetime import datetime
from functools import cache, partial
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui import __version__
from fermtui.cellar.cache import Cache, content_key
from fermtui.cellar.tables import table_from, table_text
from fermtui.daybook.fields import Unfit
from fermtui.daybook.head import Head, head_from, head_table
from fermtui.daybook.places import DAYBOOK, HEAD, SCHEDULES, VESSELS, Cellar
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings
from fermtui.daybook.transfers import Transfer, transfers_in
from fermtui.daybook.vessel_bytes import VesselBytes, vessel_bytes
from fermtui.forecast.answers import ForecastAnswers
from fermtui.replay.facts import Facts
from fermtui.replay.facts_json import facts_from_json, facts_to_json
from fermtui.schedule import library
from fermtui.schedule.steps import Schedule

if TYPE_CHECKING:
    from fermtui.cellar.store import CellarStore
    from fermtui.forecast.posterior import Posterior
    from fermtui.replay.state import Measures


class LoadedVessel(NamedTuple):
    """One vessel as far as it does not depend on a clock.

    `key` names exactly these files and settings. `halves` are what was poured to or from other vessels. `told` is the
    forecast: None until it was asked for, and where `forecast_reason` says why there is none.
    """

    name: str
    place: str
    key: str
    head: Head
    head_good: bool
    facts: Facts
    schedule: Schedule | None
    problems: tuple[Problem, ...]
    transfers: tuple[Transfer, ...] = ()
    answers: ForecastAnswers | None = None
    answers_key: Callable[[], str] | None = None
    forecast_ready: bool = False
    forecast_reason: str | None = None


def load_vessel(
    cellar: Cellar,
    settings: Settings,
    settings_bytes: bytes,
    name: str,
    cache: Cache,
    *,
    place: str = VESSELS,
    upto: datetime | None = None,
) -> LoadedVessel:
    """Read one vessel, from the cache where its bytes are known. Entries after `upto` are left out."""
    files = vessel_bytes(cellar, name, place)
    key = content_key(
        b"facts", __version__.encode(), settings_bytes, settings.timezone.encode(), f"{place}/{name}".encode(),
        b"-" if files.head is None else b"+" + files.head, files.daybook,
    )  # fmt: skip
    found = None if files.problems else _from_cache(cache.get(key))
    if found is None or (upto is not None and _reaches_past(found.facts, upto)):
        found, whole = _from_files(files, settings, upto)
        if whole and not files.problems:
            cache.put_later(key, partial(_to_cache, found))
    schedule, schedule_problems = _schedule(cellar, found.head, f"{place}/{name}/{HEAD}", files.head or b"", cache)
    problems = found.problems + schedule_problems
    return LoadedVessel(name, place, key, found.head, found.head_good, found.facts, schedule, problems, found.transfers)


def _schedule(
    cellar: Cellar, head: Head, path: str, head_bytes: bytes, cache: Cache
) -> tuple[Schedule | None, tuple[Problem, ...]]:
    if head.schedule is None:
        return None, ()
    schedule, problems = library.load(head.schedule, cellar.path / SCHEDULES, cache)
    if schedule is None:
        from fermtui.daybook.toml_file import line_of_field

        # Whoever has several vessels must see which of them has no tasks now.
        line = line_of_field(head_bytes, "schedule")
        problems += (Problem("no_schedule", path, line, (head.schedule[:60],)),)
    return schedule, problems


def _reaches_past(facts: Facts, upto: datetime) -> bool:
    return facts.last_at is not None and facts.last_at > upto


def measures_of(settings: Settings) -> "Measures":
    """What the replay needs of the settings."""
    from fermtui.replay.state import Measures

    return Measures(
        settings.hydrometer.calibrated_c,
        settings.hydrometer.offset_sg,
        settings.honey_moisture_percent,
        settings.capacities_l,
    )


class ParsedVessel(NamedTuple):
    """What the two files of a vessel say, as far as it goes into the cache."""

    head: Head
    facts: Facts
    problems: tuple[Problem, ...]
    head_good: bool
    transfers: tuple[Transfer, ...]


def _from_files(files: VesselBytes, settings: Settings, upto: datetime | None) -> tuple[ParsedVessel, bool]:
    """What the files say up to then, and whether that is all that they say."""
    from fermtui.daybook.lines import line_number
    from fermtui.daybook.strikes import live
    from fermtui.daybook.vessel_file import parse_vessel
    from fermtui.replay.replay import replay

    file = parse_vessel(files)
    whole = upto is None or all(e.at <= upto for e in file.entries)
    standing = file.live
    if upto is not None and not whole:
        standing, _, _ = live([e for e in file.entries if e.at <= upto])
    head = file.head or Head(name=files.name)
    problems = file.problems
    path = f"{files.place}/{files.name}/{DAYBOOK}"
    facts = replay(head, standing, measures_of(settings))
    strange = [e for e in standing if e.did == "unknown"]
    problems += tuple(
        Problem("unknown_kind", path, line_number(files.daybook, e.key), (str(e.extra.get("did"))[:40],))
        for e in strange
    )
    transfers = tuple(half._replace(line=line_number(files.daybook, half.key)) for half in transfers_in(standing))
    return ParsedVessel(head, facts, problems, file.head is not None, transfers), whole


def _to_cache(found: ParsedVessel) -> list[Any]:
    problems, transfers = [list(one) for one in found.problems], [list(half) for half in found.transfers]
    return [table_text(head_table(found.head)), facts_to_json(found.facts), problems, found.head_good, transfers]


def _from_cache(value: object) -> ParsedVessel | None:
    if not isinstance(value, list) or len(value) != len(ParsedVessel._fields):
        return None
    try:
        head, facts, problems, head_good, transfers = value
        table = table_from(head)
        if table is None:
            return None
        known = tuple(Problem(kind, path, line, tuple(values)) for kind, path, line, values in problems)
        poured = tuple(Transfer(*row) for row in transfers)
        return ParsedVessel(head_from(table), facts_from_json(facts), known, bool(head_good), poured)
    except (TypeError, ValueError, IndexError, KeyError, AttributeError, Unfit):
        return None


def with_lazy_forecast(loaded: LoadedVessel, store: "CellarStore") -> LoadedVessel:
    """The vessel with a forecast that is made at the first question, in about 25 ms; what was told before comes from
    the cache. Neither is touched for a vessel of which nobody asks anything.
    """
    from fermtui.forecast.forecast import doses_in, why_none
    from fermtui.schedule.steps import for_plan

    reason = why_none(loaded.facts)
    if reason is not None:
        return loaded._replace(forecast_ready=True, forecast_reason=reason)
    doses = doses_in(for_plan(loaded.schedule, loaded.head.plan).steps) if loaded.schedule else 0

    @cache
    def key() -> str:
        parts = loaded.key, str(loaded.facts.last_at), str(doses), store.history().key
        return content_key(b"forecast", *(part.encode() for part in parts))

    def recall() -> dict[str, Any]:
        known = store.cache.get(key())
        return known if isinstance(known, dict) else {}

    answers = ForecastAnswers(recall, lambda: _posterior(loaded, doses, key(), store))
    return loaded._replace(answers=answers, answers_key=key, forecast_ready=True)


def with_forecast(loaded: LoadedVessel, store: "CellarStore") -> LoadedVessel:
    """The same with the forecast made, for those who ask while the screen waits."""
    made = with_lazy_forecast(loaded, store)
    if made.answers is not None and not made.answers.known:
        made.answers.readings()
        made.answers.feeds()
    return made


def _posterior(loaded: LoadedVessel, doses: int, key: str, store: "CellarStore") -> "Posterior":
    from fermtui.forecast.from_facts import foretell as made_from
    from fermtui.forecast.posterior import Posterior

    stored = store.draws.get(key)
    if isinstance(stored, str):
        try:
            return Posterior.from_json(stored)
        except ValueError:
            pass
    made = made_from(loaded.facts, loaded.head.plan, doses, store.history().priors())
    store.draws.put(key, made.to_json())
    return made
