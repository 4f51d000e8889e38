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
from fermtui.replay.facts import Facts, Rest
from fermtui.schedule import library
from fermtui.schedule.standing import Judged, Standing, judged, judged_on, without_schedule
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
    parsed: "ParsedVessel | None" = None


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
    parsed = None if files.problems else cache.get("vessel", key, read=partial(_from_cache, name))
    if parsed is None or (upto is not None and _reaches_past(parsed.facts, upto)):
        longer = None if files.problems else _added_to(loading, files, before)
        parsed, whole = (longer, True) if longer is not None else _from_files(files, settings, upto)
        if whole and not files.problems:
            cache.put("vessel", partial(_to_cache, parsed), key)
            cache.put("read so far", [key, parsed.length], loading.key(files._replace(daybook=b"")))
    schedule, schedule_problems = _schedule(cellar, parsed.head, f"{place}/{name}/{HEAD}", files.head or b"", cache)
    problems = parsed.problems + schedule_problems
    return LoadedVessel(
        name, place, key, parsed.head, parsed.head_good, parsed.facts, schedule, problems, parsed.transfers,
        parsed.standing, whole, parsed=parsed if whole else None,
    )  # fmt: skip


def _added_to(loading: Loading, files: VesselBytes, before: LoadedVessel | None) -> "ParsedVessel | None":
    """What the files say where the daybook was only added to since it was read last; else None.

    Also None where what was added changes what came before it, or something stands against the vessel.
    """
    known = _read_before(loading, files, before)
    if known is None or known.problems or known.standing != ():
        return None
    from fermtui.daybook.lines import added_entries, line_number  # a vessel whose files are known is not parsed

    more = added_entries(files.daybook, known.length)
    if more is None or (loading.upto is not None and any(entry.at > loading.upto for entry in more)):
        return None
    measures = measures_of(loading.settings)
    on = judged_on(known.head, Judged(known.facts, known.rest), more, measures, loading.settings, files.name)
    if on is None:
        return None
    poured = (half._replace(line=line_number(files.daybook, half.key)) for half in transfers_in(more))
    return known._replace(
        facts=on.facts, rest=on.rest, length=len(files.daybook), transfers=(*known.transfers, *poured)
    )


def _read_before(loading: Loading, files: VesselBytes, before: LoadedVessel | None) -> "ParsedVessel | None":
    """What was made of the first part of these files, in this process or an earlier one."""

    def begins(key: str, length: int) -> bool:
        return length < len(files.daybook) and loading.key(files._replace(daybook=files.daybook[:length])) == key

    if before is not None and before.parsed is not None and begins(before.key, before.parsed.length):
        return before.parsed
    stored = loading.cache.get("read so far", loading.key(files._replace(daybook=b"")), read=_key_and_length)
    if stored is None or not begins(*stored):
        return None
    return loading.cache.get("vessel", stored[0], read=partial(_from_cache, files.name))


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
    rest: Rest
    length: int


class ParsedVessel(NamedTuple):
    """What the two files of a vessel say; `head_good` where the head could be read.

    `rest` is what it takes to go on from its facts, `length` the bytes of its daybook.
    """

    head: Head
    head_good: bool
    facts: Facts
    problems: tuple[Problem, ...]
    transfers: tuple[Transfer, ...]
    standing: tuple[Standing, ...] | None
    rest: Rest
    length: int


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
    facts, rest, against = judged(head, standing, measures_of(settings), settings, files.name)
    against = tuple(one._replace(line=line_number(files.daybook, one.key)) for one in against)
    strange = [e for e in standing if e.did == "unknown"]
    problems += tuple(
        Problem("unknown_kind", path, line_number(files.daybook, e.key), (str(e.extra.get("did"))[:40],))
        for e in strange
    )
    transfers = tuple(half._replace(line=line_number(files.daybook, half.key)) for half in transfers_in(standing))
    good, length = file.head is not None, len(files.daybook)
    return ParsedVessel(head, good, facts, problems, transfers, against, rest, length), whole


def _to_cache(parsed: ParsedVessel) -> list[Any]:
    stands = parsed.standing != ()
    stored = StoredFacts(parsed.facts, parsed.problems, parsed.transfers, stands, parsed.rest, parsed.length)
    return [table_text(head_table(parsed.head)) if parsed.head_good else None, to_json(stored)]


def _from_cache(name: str, value: Any) -> ParsedVessel:
    head, record = value
    facts, problems, transfers, stands, rest, length = from_json(StoredFacts, record)
    known_head = Head(name) if head is None else head_from(table_from(head))
    standing = None if stands else ()
    return ParsedVessel(known_head, head is not None, facts, problems, transfers, standing, rest, length)
