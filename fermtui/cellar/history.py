"""What the maker's own finished vessels teach the forecast of the next one."""

import re
from typing import TYPE_CHECKING, Any, NamedTuple

from fermtui.cellar.cache import content_key
from fermtui.daybook.places import PAST, past_names
from fermtui.daybook.vessel_bytes import vessel_bytes

if TYPE_CHECKING:
    from fermtui.cellar.loaded import LoadedVessel
    from fermtui.cellar.store import CellarStore
    from fermtui.forecast.priors import Priors

_DAY = rb"\d{4}-\d{2}-\d{2}"
MOST = 60  # the newest; older ones say little that these do not, and each costs 25 ms when the cache is gone


class History(NamedTuple):
    """`rows` are the fields of priors.Lesson, as a cache keeps them; `key` is a name for exactly these."""

    rows: tuple[tuple[Any, ...], ...]
    key: str

    def priors(self) -> "Priors":
        """The beliefs that lean on them."""
        from fermtui.forecast.pooling import PastBatch
        from fermtui.forecast.priors import Priors

        return Priors(tuple(PastBatch(*row) for row in self.rows))


def history_of(store: "CellarStore") -> History:
    """What the newest finished vessels teach, put away or bottled. One whose files are known costs reading them."""
    store.load_missing()  # or a vessel shown alone would lean on others than it does among all
    finished: list[tuple[str, str, LoadedVessel | str]] = [
        (loaded.facts.pitched_at.date().isoformat(), loaded.name, loaded)
        for loaded in list(store.vessels.values())
        if loaded.facts.lots and loaded.facts.pitched_at is not None
    ]
    # Their bytes are let go at once: of a thousand vessels they are ten megabytes.
    past = past_names(store.cellar)
    finished += [(_first_day(vessel_bytes(store.cellar, name, PAST).daybook), name, name) for name in past]
    # The newest by a look at the first line: to replay hundreds of vessels only to leave them out would take minutes.
    finished.sort(key=lambda one: one[:2], reverse=True)
    sources, taught = [source for _, _, source in finished], list[list[Any]]()
    while sources and len(taught) < MOST:
        wanted = MOST - len(taught)
        taught += [row for row in _rows(store, sources[:wanted]) if row]
        sources = sources[wanted:]
    rows = tuple(sorted((tuple(one[1:]) for one in taught), key=repr))
    return History(rows, content_key(repr(rows).encode()) if rows else "default")


def _first_day(daybook: bytes) -> str:
    found = re.search(_DAY, daybook)
    return found[0].decode() if found else ""


def _rows(store: "CellarStore", sources: "list[LoadedVessel | str]") -> list[list[Any]]:
    """[pitched at, fields of the lesson...] of each, those put away by their names; an empty list for a vessel that
    teaches nothing.
    """
    keys = [_key(store, source) for source in sources]
    rows = [store.cache.get(key) for key in keys]
    new = [at for at, row in enumerate(rows) if not isinstance(row, list)]
    if not new:
        return rows
    from fermtui.cellar.side_by_side import each

    for at, row in zip(new, each(lambda at: _row_of(store, sources[at]), new), strict=True):
        store.cache.put(keys[at], row)
        rows[at] = row
    return rows


def _key(store: "CellarStore", source: "LoadedVessel | str") -> str:
    if isinstance(source, str):
        files, upto = vessel_bytes(store.cellar, source, PAST), str(store.upto).encode()
        return content_key(b"lesson", store.settings_bytes, upto, source.encode(), files.digest.encode())
    return content_key(b"taught", source.key.encode(), str(source.facts.last_at).encode())


def _row_of(store: "CellarStore", source: "LoadedVessel | str") -> list[Any]:
    loaded = store.keep_one(source, PAST) if isinstance(source, str) else source
    if loaded.facts.pitched_at is None:
        return []
    from fermtui.forecast.forecast import doses_in
    from fermtui.forecast.from_facts import evidence_of
    from fermtui.forecast.past_batches import FinishedVessel, past_batch_of
    from fermtui.schedule.steps import for_plan

    doses = doses_in(for_plan(loaded.schedule, loaded.head.plan).steps) if loaded.schedule else 0
    lesson = past_batch_of(FinishedVessel(evidence_of(loaded.facts, loaded.head.plan, doses)))
    if lesson is None:
        return []
    return [loaded.facts.pitched_at.timestamp(), *(getattr(lesson, name) for name in lesson.__dataclass_fields__)]
