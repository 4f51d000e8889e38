"""What is remembered of one vessel between two looks: its facts, its schedule and its forecast, none with a clock."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui.cellar.cache import Cache, content_key
from fermtui.cellar.json_records import from_json, to_json
from fermtui.cellar.tables import cached_schedule, table_from, table_text
from fermtui.daybook.head import Head, head_from, head_table
from fermtui.daybook.places import DAYBOOK, HEAD, SCHEDULES, VESSELS, Cellar
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings
from fermtui.daybook.toml_file import line_of_field
from fermtui.daybook.transfers import Transfer, transfers_in
from fermtui.daybook.vessel_bytes import VesselBytes, vessel_bytes
from fermtui.forecast.answers import ForecastAnswers
from fermtui.replay.facts import Facts
from fermtui.schedule import library
from fermtui.schedule.standing import Standing, judged, without_schedule
from fermtui.schedule.steps import Schedule

if TYPE_CHECKING:
    from fermtui.replay.state import Measures


class LoadedVessel(NamedTuple):
    """One vessel as far as it does not depend on a clock.

    `key` names exactly these files and settings. `transfers` are what was poured to or from other vessels.
    `standing`: what guards refuse among its entries, and bottles that may burst; None where there is some that has to
    be read from the files. `answers` are those of the
    forecast, stored by `answers_parts`: None until asked for, and where `forecast_reason` says why there is none. Not
    `whole`: later entries were left out.
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
    standing: tuple[Standing, ...] | None = ()
    whole: bool = True
    answers: ForecastAnswers | None = None
    answers_parts: Callable[[], tuple[str, ...]] | None = None
    forecast_ready: bool = False
    forecast_reason: str | None = None


class Loading(NamedTuple):
    """What reading a vessel takes beside its name; entries after `upto` are left out."""

    cellar: Cellar
    settings: Settings
    settings_bytes: bytes
    cache: Cache
    upto: datetime | None = None

    def key(self, files: VesselBytes) -> str:
        """A name for exactly these files and settings."""
        head = b"-" if files.head is None else b"+" + files.head
        where = f"{files.place}/{files.name}"
        return content_key(self.settings_bytes, self.settings.timezone, where, head, files.daybook)


def load_vessel(loading: Loading, name: str, place: str = VESSELS) -> LoadedVessel:
    """Read one vessel at work or put away, from the cache where its bytes are known."""
    cellar, settings, _, cache, upto = loading
    files = vessel_bytes(cellar, name, place)
    key, whole = loading.key(files), True
    parsed = None if files.problems else cache.get("vessel", key, read=partial(_from_cache, name))
    if parsed is None or (upto is not None and _reaches_past(parsed.facts, upto)):
        parsed, whole = _from_files(files, settings, upto)
        if whole and not files.problems:
            cache.put("vessel", partial(_to_cache, parsed), key)
    schedule, schedule_problems = _schedule(cellar, parsed.head, f"{place}/{name}/{HEAD}", files.head or b"", cache)
    problems = parsed.problems + schedule_problems
    return LoadedVessel(
        name, place, key, parsed.head, parsed.head_good, parsed.facts, schedule, problems, parsed.transfers,
        parsed.standing, whole,
    )  # fmt: skip


def _schedule(
    cellar: Cellar, head: Head, path: str, head_bytes: bytes, cache: Cache
) -> tuple[Schedule | None, tuple[Problem, ...]]:
    if head.schedule is None:
        return None, ()
    schedule, problems = library.load(head.schedule, cellar.path / SCHEDULES, partial(cached_schedule, cache))
    if schedule is None:
        # Whoever has several vessels must see which of them has no tasks now.
        line = line_of_field(head_bytes, "schedule")
        problems += (Problem("no_schedule", path, line, (head.schedule[:60],)),)
    return schedule, problems


def schedule_missing(loaded: LoadedVessel) -> tuple[Standing, ...]:
    """What stands against a vessel at work whose head names a schedule that cannot be used."""
    named = loaded.head.schedule
    return (without_schedule(named),) if named and loaded.schedule is None and loaded.place == VESSELS else ()


def _reaches_past(facts: Facts, upto: datetime) -> bool:
    return facts.last_at is not None and facts.last_at > upto


def measures_of(settings: Settings) -> "Measures":
    """What the replay needs of the settings."""
    from fermtui.replay.state import Measures  # with the replay: a vessel whose files are known is not replayed

    return Measures(
        settings.hydrometer.calibrated_c,
        settings.hydrometer.offset_sg,
        settings.honey_moisture_percent,
        settings.hydrometer.resolution_sg,
        settings.capacities_l,
        {one.name: one for one in settings.sensors},
    )


class StoredFacts(NamedTuple):
    """What the cache keeps of a vessel beside its head."""

    facts: Facts
    problems: tuple[Problem, ...]
    transfers: tuple[Transfer, ...]
    stands: bool


class ParsedVessel(NamedTuple):
    """What the two files of a vessel say; `head_good` where the head could be read."""

    head: Head
    head_good: bool
    facts: Facts
    problems: tuple[Problem, ...]
    transfers: tuple[Transfer, ...]
    standing: tuple[Standing, ...] | None = ()


def standing_of(loading: Loading, name: str, place: str = VESSELS) -> tuple[Standing, ...]:
    """What stands against a vessel, from its files: it is rare, and the cache only knows that there is some."""
    return _from_files(vessel_bytes(loading.cellar, name, place), loading.settings, loading.upto)[0].standing or ()


def _from_files(files: VesselBytes, settings: Settings, upto: datetime | None) -> tuple[ParsedVessel, bool]:
    """What the files say up to then, and whether that is all that they say."""
    from fermtui.daybook.lines import line_number  # with the replay: a vessel whose files are known is not replayed
    from fermtui.daybook.strikes import live
    from fermtui.daybook.vessel_file import parse_vessel

    file = parse_vessel(files)
    whole = upto is None or all(e.at <= upto for e in file.entries)
    standing = file.live
    if upto is not None and not whole:
        standing, _, _ = live([e for e in file.entries if e.at <= upto])
    head = file.head or Head(name=files.name)
    problems = file.problems
    path = f"{files.place}/{files.name}/{DAYBOOK}"
    facts, against = judged(head, standing, measures_of(settings), settings, files.name)
    against = tuple(one._replace(line=line_number(files.daybook, one.key)) for one in against)
    strange = [e for e in standing if e.did == "unknown"]
    problems += tuple(
        Problem("unknown_kind", path, line_number(files.daybook, e.key), (str(e.extra.get("did"))[:40],))
        for e in strange
    )
    transfers = tuple(half._replace(line=line_number(files.daybook, half.key)) for half in transfers_in(standing))
    return ParsedVessel(head, file.head is not None, facts, problems, transfers, against), whole


def _to_cache(parsed: ParsedVessel) -> list[Any]:
    stored = StoredFacts(parsed.facts, parsed.problems, parsed.transfers, parsed.standing != ())
    return [table_text(head_table(parsed.head)) if parsed.head_good else None, to_json(stored)]


def _from_cache(name: str, value: Any) -> ParsedVessel:
    head, record = value
    facts, problems, transfers, stands = from_json(StoredFacts, record)
    known_head = Head(name) if head is None else head_from(table_from(head))
    return ParsedVessel(known_head, head is not None, facts, problems, transfers, None if stands else ())
