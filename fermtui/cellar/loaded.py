"""What is remembered of one vessel between two looks: its facts, its schedule and its forecast, none with a clock."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui.cellar.cache import Cache, content_key
from fermtui.cellar.parsed import ParsedVessel, from_cache, to_cache
from fermtui.cellar.tables import cached_schedule
from fermtui.daybook.head import Head
from fermtui.daybook.places import HEAD, SCHEDULES, VESSELS, Cellar
from fermtui.daybook.problem import Problem
from fermtui.daybook.settings import Settings
from fermtui.daybook.toml_file import line_of_field
from fermtui.daybook.transfers import Transfer
from fermtui.daybook.vessel_bytes import VesselBytes, vessel_bytes
from fermtui.forecast.answers import ForecastAnswers
from fermtui.replay.facts import Facts
from fermtui.schedule import library
from fermtui.schedule.standing import Standing, without_schedule
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
    parsed: ParsedVessel | None = None


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


def load_vessel(loading: Loading, name: str, place: str = VESSELS, before: LoadedVessel | None = None) -> LoadedVessel:
    """Read one vessel at work or put away, from the cache where its bytes are known.

    Where its daybook was only added to since `before`, or since it was put in the cache, the replay goes on from there.
    """
    cellar, settings, _, cache, upto = loading
    files = vessel_bytes(cellar, name, place)
    key, whole = loading.key(files), True
    parsed = None if files.problems else cache.get("vessel", key, read=partial(from_cache, name))
    if parsed is None or (upto is not None and _reaches_past(parsed.facts, upto)):
        from fermtui.cellar.parsing import added_to, from_files  # a vessel whose files are known is not parsed

        known = None if files.problems else _read_before(loading, files, before)
        longer = None if known is None else added_to(known, files, measures_of(settings), settings, upto)
        parsed, whole = (longer, True) if longer else from_files(files, measures_of(settings), settings, upto)
        if whole and not files.problems:
            cache.put("vessel", partial(to_cache, parsed), key)
            cache.put("read so far", [key, parsed.length], loading.key(files._replace(daybook=b"")))
    schedule, schedule_problems = _schedule(cellar, parsed.head, f"{place}/{name}/{HEAD}", files.head or b"", cache)
    problems = parsed.problems + schedule_problems
    return LoadedVessel(
        name, place, key, parsed.head, parsed.head_good, parsed.facts, schedule, problems, parsed.transfers,
        parsed.standing, whole, parsed=parsed if whole else None,
    )  # fmt: skip


def _read_before(loading: Loading, files: VesselBytes, before: LoadedVessel | None) -> ParsedVessel | None:
    """What was made of the first part of these files, in this process or an earlier one."""

    def begins(key: str, length: int) -> bool:
        return length < len(files.daybook) and loading.key(files._replace(daybook=files.daybook[:length])) == key

    if before is not None and before.parsed is not None and begins(before.key, before.parsed.length):
        return before.parsed
    stored = loading.cache.get("read so far", loading.key(files._replace(daybook=b"")), read=_key_and_length)
    if stored is None or not begins(*stored):
        return None
    return loading.cache.get("vessel", stored[0], read=partial(from_cache, files.name))


def _key_and_length(value: Any) -> tuple[str, int]:
    key, length = value
    return str(key), int(length)


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


def standing_of(loading: Loading, name: str, place: str = VESSELS) -> tuple[Standing, ...]:
    """What stands against a vessel, from its files: it is rare, and the cache only knows that there is some."""
    from fermtui.cellar.parsing import from_files  # a vessel whose files are known is not parsed

    files, settings = vessel_bytes(loading.cellar, name, place), loading.settings
    return from_files(files, measures_of(settings), settings, loading.upto)[0].standing or ()


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
