"""What the maker's own finished vessels teach the forecast of the next one."""

import re
from collections.abc import Iterable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from fermtui.cellar.cache import content_key
from fermtui.cellar.json_records import from_json, to_json
from fermtui.cellar.loaded import LoadedVessel, Loading, load_vessel
from fermtui.daybook.places import PAST, past_names
from fermtui.daybook.vessel_bytes import vessel_bytes
from fermtui.forecast.forecast import doses_in
from fermtui.forecast.pooling import PastBatch
from fermtui.schedule.planned_steps import for_plan

if TYPE_CHECKING:
    from fermtui.forecast.priors import Priors

_DAY = rb"\d{4}-\d{2}-\d{2}"
MOST = 60  # the newest; older ones say little that these do not, and each costs 25 ms when the cache is gone


class History(NamedTuple):
    """The finished vessels that the forecasts lean on; `key` is a name for exactly these."""

    batches: tuple[PastBatch, ...]
    key: str

    def priors(self) -> "Priors":
        """The beliefs that lean on them."""
        from fermtui.forecast.priors import Priors  # with the model: a warm start asks for the key only

        return Priors(self.batches)


class BatchRow(NamedTuple):
    """What the cache keeps of a finished vessel: None for one that teaches nothing; `last_at` is its last entry."""

    last_at: datetime | None
    batch: PastBatch | None


def history_of(loading: Loading, at_work: Iterable[LoadedVessel]) -> History:
    """What the newest finished vessels teach, put away or bottled. One whose files are known costs reading them."""
    finished: list[tuple[str, str, LoadedVessel | str]] = [
        (loaded.facts.pitched_at.date().isoformat(), loaded.name, loaded)
        for loaded in at_work
        if loaded.facts.lots and loaded.facts.pitched_at is not None
    ]
    # Their bytes are let go at once: of a thousand vessels they are ten megabytes.
    past = past_names(loading.cellar)
    finished += [(_first_day(vessel_bytes(loading.cellar, name, PAST).daybook), name, name) for name in past]
    # The newest by a look at the first line: to replay hundreds of vessels only to leave them out would take minutes.
    finished.sort(key=lambda one: one[:2], reverse=True)
    batches: list[PastBatch] = []
    for _, _, source in finished:
        batch = _row(loading, source).batch
        if batch is not None:
            batches.append(batch)
        if len(batches) == MOST:
            break
    batches.sort(key=repr)
    return History(tuple(batches), content_key(repr(batches)) if batches else "default")


def teaches(loaded: LoadedVessel) -> tuple[object, ...]:
    """What a vessel at work says to the others: empty until it is bottled. Where it changes, so does the history."""
    facts = loaded.facts
    return (facts.readings, facts.changes, loaded.head.plan, loaded.head.schedule) if facts.lots else ()


def _first_day(daybook: bytes) -> str:
    day = re.search(_DAY, daybook)
    return day[0].decode() if day else ""


def _row(loading: Loading, source: LoadedVessel | str) -> BatchRow:
    """What a vessel teaches, one put away by its name."""
    key = loading.key(vessel_bytes(loading.cellar, source, PAST)) if isinstance(source, str) else source.key
    read, cache, upto = partial(from_json, BatchRow), loading.cache, loading.upto
    row = cache.get("batch", key, read=read)
    if row is None or (upto is not None and row.last_at is not None and row.last_at > upto):
        row = cache.get("batch", key, str(upto), read=read)
    if row is None:
        loaded = load_vessel(loading, source, PAST) if isinstance(source, str) else source
        row = BatchRow(loaded.facts.last_at, _batch_of(loaded))
        cache.put("batch", to_json(row), key, *(() if loaded.whole else (str(upto),)))
    return row


def planned_doses(loaded: LoadedVessel) -> int:
    """How many doses of nutrient the schedule plans."""
    return doses_in(for_plan(loaded.schedule, loaded.head.plan).steps) if loaded.schedule else 0


def _batch_of(loaded: LoadedVessel) -> PastBatch | None:
    if loaded.facts.pitched_at is None:
        return None
    from fermtui.forecast.from_facts import evidence_of  # with the model: a warm start needs the answers only
    from fermtui.forecast.past_batches import FinishedVessel, past_batch_of  # with the model: not in a warm start

    return past_batch_of(FinishedVessel(evidence_of(loaded.facts, loaded.head.plan, planned_doses(loaded))))
