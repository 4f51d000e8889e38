"""Every kind of entry: its fields (a class each) and what it is (a row each in KINDS).

The names are a promise to people's files. To add a kind: a class and a row here, its words in wording/kinds.py, and
what it does to the ledger in replay/effects.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from typing import Any, Literal, NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.fields import Field, Unfit, fit, fit_instant


class Mix(Entry, did="mix"):
    volume_l: float | None = None
    honey_g: float | None = None
    honey_moisture_percent: float | None = None
    water_l: float | None = None
    juice_l: float | None = None
    juice_sg: float | None = None


class Pitch(Entry, did="pitch"):
    yeast: str | None = None
    yeast_g: float | None = None
    temp_c: float | None = None


class Dose(Entry, did="dose"):
    dap_g: float | None = None
    autolysate_g: float | None = None
    complex_g: float | None = None


class Read(Entry, did="read"):
    sg: float | None = None
    brix: float | None = None
    temp_c: float | None = None
    ph: float | None = None
    free_so2_mg_per_l: float | None = None
    sample_ml: float | None = None
    # Of a sensor that logs by itself: its name, how many rows the median was taken of, and how far they scattered.
    by: str | None = None
    count: int | None = None
    spread_sg: float | None = None


class Aerate(Entry, did="aerate"):
    """No field of its own."""


class Degas(Entry, did="degas"):
    """No field of its own."""


class Punch(Entry, did="punch"):
    """No field of its own."""


class Add(Entry, did="add"):
    what: str
    mass_g: float | None = None
    volume_l: float | None = None
    sugar_g: float | None = None  # that ferments, in all of it, where the table does not know what it is
    abv_percent: float | None = None  # of a drink or spirit, where its label says another strength than the table


class Fruit(Entry, did="fruit"):
    kind: str
    mass_g: float
    treatment: str | None = None


class Pull(Entry, did="pull"):
    what: str | None = None
    loss_l: float | None = None


class Feed(Entry, did="feed"):
    honey_g: float


class Rack(Entry, did="rack"):
    into: str | None = None
    volume_l: float | None = None


class Filter(Entry, did="filter"):
    """Through a pad of this nominal size."""

    pad_um: float | None = None
    loss_l: float | None = None


class TopUp(Entry, did="top_up"):
    with_: str | None = None
    volume_l: float
    sg: float | None = None
    abv_percent: float | None = None
    from_: str | None = None


class Level(Entry, did="level"):
    volume_l: float


class ForcedTest(Entry, did="forced_test"):
    """A sample with fresh yeast in the warm: the gravity at which it stopped."""

    sg: float
    days: float | None = None
    temp_c: float | None = None
    yeast: str | None = None


class Heat(Entry, did="heat"):
    temp_c: float | None = None
    hours: float | None = None


class Chill(Entry, did="chill"):
    temp_c: float | None = None
    hours: float | None = None


class Sulfite(Entry, did="sulfite"):
    metabisulfite_g: float
    salt: str | None = None
    ph: float | None = None


class Sorbate(Entry, did="sorbate"):
    sorbate_g: float
    ph: float | None = None


class Sweeten(Entry, did="sweeten"):
    honey_g: float


class Split(Entry, did="split"):
    into: str
    volume_l: float
    entry: str | None = None  # the key of the other half, in the vessel that it went into


class Receive(Entry, did="receive"):
    from_: str
    entry: str | None = None
    volume_l: float | None = None
    water_g: float
    sugar_g: float
    ethanol_g: float
    pitched: date | datetime | None = None  # of the vessel that it came from, where this one begins with it
    # What went along of what was given there, so that the ceilings a litre stay what they were.
    dap_g: float | None = None
    autolysate_g: float | None = None
    complex_g: float | None = None
    so2_mg: float | None = None
    sorbate_mg: float | None = None
    sweetened_g: float | None = None


class Bottle(Entry, did="bottle"):
    count: int
    size_ml: float
    glass: str | None = None
    closure: str | None = None
    priming_g: float | None = None
    priming_kind: str | None = None
    left_l: float | None = None
    rest: str | None = None  # what became of that: then nothing is left


class Taste(Entry, did="taste"):
    look: str | None = None
    smell: str | None = None
    taste: str | None = None
    score: float | None = None


class Open(Entry, did="open"):
    count: int | None = None
    size_ml: float | None = None
    why: str | None = None


class Note(Entry, did="note"):
    what: str | None = None


class Chore(Entry, did="chore"):
    what: str | None = None


class Skip(Entry, did="skip"):
    reason: str | None = None


class Postpone(Entry, did="postpone"):
    until: date | datetime
    reason: str | None = None


class Strike(Entry, did="strike"):
    entry: str
    by: str | None = None  # undo or redo, where it went a step back or forth; without it, it is an act of its own


class End(Entry, did="end"):
    """The maker's word that the ferment ends here, above the plan's end; the reason is part of it."""

    sg: float
    reason: str


class Empty(Entry, did="empty"):
    reason: str | None = None


class Unknown(Entry, did="unknown"):
    """A kind that this version does not know: kept, shown, and counted for nothing."""


Contents = Literal["any", "liquid", "must", "ferment"]
"""What a vessel must hold before this can be done to it; each asks for what stands before it too."""


class Kind(NamedTuple):
    """What one kind of entry is. No column has a default, so that none can be forgotten."""

    struct: type[Entry]
    contents: Contents
    takes_out: str | None  # the field with the litres poured off or lost, or with what may at most be left
    brings: bool  # it changes what is in the vessel: a late one is judged against what was done since
    sugar: bool  # it can raise or thin the gravity
    shows_change: bool  # its form shows volume, room and strength as they will be
    planned: bool  # a schedule may ask for it; the others are bookkeeping
    grace_days: float | None  # how long its task is due before it is late; None is never
    lead_days: float | None  # how long ahead of its task an entry without a task answers it; None is any time
    event: bool  # a condition of a schedule may count from it
    bookkeeping: bool  # it answers no step by its kind
    beyond_bottling: bool  # its tasks go on after the bottling
    quiet: bool  # its mark on the shelf is drawn quietly
    prepared: bool  # it needs something ready the day before
    amounts: bool  # its task asks for amounts that are computed
    one_key: bool  # its task is ticked without a form: it holds nothing that only the maker knows
    listed: bool  # offered in the list of what was done; the others have a key of their own
    other_vessels: bool  # it may touch a container in which another vessel stands
    any_of: tuple[str, ...]  # fields of which at least one must be given

    @property
    def did(self) -> str:
        """Its name in the file."""
        return self.struct.did

    @property
    def fields(self) -> Mapping[str, Field]:
        """Its fields, by their names in the file."""
        return self.struct.fields


Y, N = True, False
# Grace: dose, punch, rack, taste and bottle are the design's
# own, the others a careful guess, no source; bottling is never late, since waiting hurts nobody. Lead: a dose given
# early is given, but a reading of yesterday is not the one asked for today.
# fmt: off
_ROWS = (
    # contents, takes out, brings, sugar, shows change, planned, grace, lead, event, bookkeeping, beyond bottling,
    # quiet, prepared, amounts, one key, listed, other vessels, any of
    Kind(Mix,      "liquid",  None,        Y, Y, Y,  Y, None, None, Y, N, N,  N, Y, Y, N, Y, N,
         ("volume_l", "honey_g", "water_l", "juice_l")),
    Kind(Pitch,    "liquid",  None,        Y, N, N,  Y, 1,    None, Y, N, N,  N, Y, Y, N, Y, N,  ()),
    Kind(Dose,     "must",    None,        Y, N, N,  Y, 0.5,  None, Y, N, N,  N, N, Y, Y, Y, N,
         ("dap_g", "autolysate_g", "complex_g")),
    Kind(Read,     "any",     "sample_ml", N, N, N,  Y, 1,    0,    Y, N, Y,  Y, N, N, N, Y, N,
         ("sg", "brix", "temp_c", "ph", "free_so2_mg_per_l")),
    Kind(Aerate,   "must",    None,        N, N, N,  Y, 1,    0,    Y, N, N,  Y, N, N, Y, Y, N,  ()),
    Kind(Degas,    "must",    None,        N, N, N,  Y, 1,    0,    Y, N, N,  Y, N, N, Y, Y, N,  ()),
    Kind(Punch,    "must",    None,        N, N, N,  Y, 1,    0,    Y, N, N,  Y, N, N, Y, Y, N,  ()),
    Kind(Add,      "liquid",  None,        Y, Y, N,  Y, 1,    None, Y, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(Fruit,    "liquid",  None,        Y, Y, Y,  Y, 7,    None, Y, N, N,  N, Y, Y, N, Y, N,  ()),
    Kind(Pull,     "liquid",  "loss_l",    N, N, Y,  Y, 3,    None, Y, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(Feed,     "must",    None,        Y, Y, Y,  Y, 1,    None, Y, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(Rack,     "must",    "volume_l",  N, N, Y,  Y, 7,    None, Y, N, N,  N, Y, Y, N, Y, Y,  ()),
    Kind(Filter,   "must",    "loss_l",    N, N, Y,  Y, 7,    None, Y, N, N,  N, Y, N, N, Y, N,  ()),
    Kind(TopUp,    "liquid",  None,        Y, Y, Y,  Y, 3,    None, Y, N, N,  N, N, Y, N, Y, Y,  ()),
    Kind(Level,    "any",     None,        N, N, Y,  Y, 7,    3,    N, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(ForcedTest, "ferment", None,      N, N, N,  Y, 7,    None, Y, N, N,  N, N, N, N, Y, N,  ()),
    Kind(Heat,     "any",     None,        N, N, N,  Y, 3,    None, Y, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(Chill,    "any",     None,        N, N, N,  Y, 3,    None, Y, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(Sulfite,  "must",    None,        Y, N, N,  Y, 7,    None, Y, N, N,  N, Y, Y, N, Y, N,  ()),
    Kind(Sorbate,  "ferment", None,        Y, N, N,  Y, 7,    None, Y, N, N,  N, Y, Y, N, Y, N,  ()),
    Kind(Sweeten,  "ferment", None,        Y, Y, Y,  Y, 7,    None, Y, N, N,  N, Y, Y, N, Y, N,  ()),
    Kind(Split,    "must",    "volume_l",  N, N, N,  Y, 7,    None, N, Y, N,  N, N, Y, N, Y, Y,  ()),
    Kind(Receive,  "liquid",  None,        Y, Y, N,  N, None, None, N, Y, N,  N, N, N, N, N, Y,  ()),
    Kind(Bottle,   "ferment", None,        Y, N, N,  Y, None, None, Y, N, N,  N, Y, Y, N, Y, N,  ()),
    Kind(Taste,    "any",     None,        N, N, N,  Y, 30,   14,   Y, N, Y,  N, N, N, N, Y, N,  ()),
    Kind(Open,     "any",     None,        N, N, N,  Y, 7,    3,    Y, N, Y,  N, N, Y, N, Y, N,  ()),
    Kind(Note,     "any",     None,        N, N, N,  Y, 3,    None, N, Y, Y,  N, N, N, N, Y, N,  ("text", "what")),
    Kind(Chore,    "any",     None,        N, N, N,  Y, 3,    None, N, N, Y,  Y, N, N, Y, Y, N,
         ("text", "what", "task")),
    Kind(Skip,     "any",     None,        N, N, N,  N, None, None, N, Y, N,  N, N, N, N, N, N,  ("task",)),
    Kind(Postpone, "any",     None,        N, N, N,  N, None, None, N, Y, N,  N, N, N, N, N, N,  ("task",)),
    Kind(Strike,   "any",     None,        N, N, N,  N, None, None, N, Y, N,  N, N, N, N, N, N,  ()),
    Kind(End,      "ferment", None,        N, N, N,  Y, None, None, N, N, N,  N, N, Y, N, Y, N,  ()),
    Kind(Empty,    "any",     None,        N, N, N,  N, None, None, N, N, N,  N, N, N, N, Y, N,  ()),
)
_UNKNOWN = Kind(Unknown, "any", None, N, N, N,  N, None, None, N, Y, N,  N, N, N, N, N, N,  ())
# fmt: on
KINDS: Mapping[str, Kind] = {kind.did: kind for kind in _ROWS}
_ATTRIBUTES = {"with": "with_", "from": "from_"}  # words that Python keeps for itself


def kind_of(did: str) -> Kind:
    """The row of a kind; that of Unknown for one that this version does not know."""
    return KINDS.get(did, _UNKNOWN)


def kinds_that(has: Callable[[Kind], object]) -> frozenset[str]:
    """The names of the kinds whose row has something."""
    return frozenset(did for did, kind in KINDS.items() if has(kind))


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """The entries as they happened: by `at`, then by key, which is the order of writing.

    At one instant a mix comes before everything else, and a pitch after the last reading.
    """
    ordered = sorted(entries, key=_written)
    first = 0
    for end in range(1, len(ordered) + 1):
        if end < len(ordered) and ordered[end].at == ordered[first].at:
            continue
        if end - first > 1:
            ordered[first:end] = _at_one_instant(ordered[first:end])
        first = end
    return ordered


def before_it(entries: Iterable[Entry], entry: Entry) -> list[Entry]:
    """Those of the entries that happened before this one, which may be among them."""
    ordered = in_order([*(one for one in entries if one.key != entry.key), entry])
    return ordered[: next(place for place, one in enumerate(ordered) if one is entry)]


def _written(entry: Entry) -> tuple[datetime, str]:
    return (entry.at, entry.key)


def _at_one_instant(together: list[Entry]) -> list[Entry]:
    last_read = max((place for place, entry in enumerate(together) if entry.did == "read"), default=-1)

    def rank(place: int) -> tuple[int, int, int]:
        entry = together[place]
        waits = entry.did == "pitch" and place < last_read
        return (entry.did != "mix", last_read if waits else place, waits)

    return [together[place] for place in sorted(range(len(together)), key=rank)]


def entry_from(key: str, written: Mapping[str, object]) -> Entry:
    """One entry from the values of its line.

    Raises Unfit with one sentence for a wrong type, a number out of its range or a missing field.
    Unknown fields go to `extra`; an unknown `did` gives an Unknown.
    """
    at = fit_instant("at", written.get("at"))
    did = written.get("did")
    if not isinstance(did, str) or not did:
        raise Unfit('did says what was done, as in did = "read"')
    kind = kind_of(did)
    fields, struct = kind.struct.fields, kind.struct
    given: dict[str, Any] = {}
    extra: dict[str, object] = {}
    for name, value in written.items():
        if name in ("at", "did"):
            continue
        row = fields.get(name)
        if row is not None:
            given[_ATTRIBUTES.get(name, name)] = fit(name, value, row.reads, row.low, row.high, row.choices)
        else:
            extra[name] = value
    if struct is Unknown:
        extra["did"] = did
    for name in struct.required:
        if name not in written:
            raise Unfit(f"{did} needs {{}}", name)
    if kind.any_of and not any(name in given for name in kind.any_of):
        raise Unfit(f"{did} needs {{}}", *kind.any_of)
    return struct(key=key, at=at, extra=extra, written=dict(written), **given)
