"""Every kind of entry as a typed struct. Field names are a promise to people's files; units stand in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import Field, dataclass, fields
from datetime import date, datetime
from typing import Any, ClassVar

from fermtui.daybook.fields import (
    GRAVITY,
    MASS_G,
    PH,
    SOME_VOLUME_L,
    TEMP_C,
    VOLUME_L,
    Unfit,
    fit,
    fit_instant,
    key_of_entry,
    moment,
    number,
    one_of,
    vessel_name,
    whole,
    words,
)

COMMON = ("key", "at", "text", "task", "override", "extra", "written")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What every entry carries.

    `key` unique in its daybook; `at` the instant it happened, with offset; `task` the step that it answers;
    `override` the reason given to a guard; `extra` fields unknown to this version, kept and shown;
    `written` the values as they stand in the file (numbers as Decimal, with their written precision).
    """

    did: ClassVar[str] = ""
    any_of: ClassVar[tuple[str, ...]] = ()

    key: str
    at: datetime
    text: str | None = words()
    task: str | None = key_of_entry()
    override: str | None = words()
    extra: Mapping[str, object]
    written: Mapping[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix(Entry):
    did: ClassVar[str] = "mix"
    any_of: ClassVar[tuple[str, ...]] = ("volume_l", "honey_g", "water_l", "juice_l")
    volume_l: float | None = number(*SOME_VOLUME_L)
    honey_g: float | None = number(*MASS_G)
    honey_moisture_percent: float | None = number(10, 30)
    water_l: float | None = number(*VOLUME_L)
    juice_l: float | None = number(*VOLUME_L)
    juice_sg: float | None = number(*GRAVITY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitch(Entry):
    did: ClassVar[str] = "pitch"
    yeast: str | None = words()
    yeast_g: float | None = number(0, 10_000)
    temp_c: float | None = number(*TEMP_C)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose(Entry):
    did: ClassVar[str] = "dose"
    any_of: ClassVar[tuple[str, ...]] = ("dap_g", "autolysate_g", "complex_g")
    dap_g: float | None = number(0, 10_000)
    autolysate_g: float | None = number(0, 10_000)
    complex_g: float | None = number(0, 10_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Read(Entry):
    did: ClassVar[str] = "read"
    any_of: ClassVar[tuple[str, ...]] = ("sg", "brix", "temp_c", "ph", "free_so2_mg_per_l")
    sg: float | None = number(*GRAVITY)
    brix: float | None = number(-5, 60)
    temp_c: float | None = number(*TEMP_C)
    ph: float | None = number(*PH)
    free_so2_mg_per_l: float | None = number(0, 1000)
    sample_ml: float | None = number(0, 5000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aerate(Entry):
    did: ClassVar[str] = "aerate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Degas(Entry):
    did: ClassVar[str] = "degas"


@dataclass(frozen=True, slots=True, kw_only=True)
class Punch(Entry):
    did: ClassVar[str] = "punch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Add(Entry):
    did: ClassVar[str] = "add"
    what: str | None = words(required=True)
    mass_g: float | None = number(*MASS_G)
    volume_l: float | None = number(*VOLUME_L)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fruit(Entry):
    did: ClassVar[str] = "fruit"
    kind: str | None = words(required=True)
    mass_g: float | None = number(0.1, 2_000_000, required=True)
    treatment: str | None = words()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull(Entry):
    did: ClassVar[str] = "pull"
    what: str | None = one_of("fruit", "spice", "oak")
    loss_l: float | None = number(*VOLUME_L)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed(Entry):
    did: ClassVar[str] = "feed"
    honey_g: float | None = number(0.1, 2_000_000, required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack(Entry):
    did: ClassVar[str] = "rack"
    into: str | None = words()
    volume_l: float | None = number(*SOME_VOLUME_L)


@dataclass(frozen=True, slots=True, kw_only=True)
class TopUp(Entry):
    did: ClassVar[str] = "top_up"
    with_: str | None = words()
    volume_l: float | None = number(*SOME_VOLUME_L, required=True)
    sg: float | None = number(*GRAVITY)
    abv_percent: float | None = number(0, 96)
    from_: str | None = vessel_name()


@dataclass(frozen=True, slots=True, kw_only=True)
class Level(Entry):
    did: ClassVar[str] = "level"
    volume_l: float | None = number(*VOLUME_L, required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat(Entry):
    did: ClassVar[str] = "heat"
    temp_c: float | None = number(*TEMP_C)
    hours: float | None = number(0, 10_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chill(Entry):
    did: ClassVar[str] = "chill"
    temp_c: float | None = number(*TEMP_C)
    hours: float | None = number(0, 10_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sulfite(Entry):
    did: ClassVar[str] = "sulfite"
    metabisulfite_g: float | None = number(0, 10_000, required=True)
    salt: str | None = one_of("potassium", "sodium")
    ph: float | None = number(*PH)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sorbate(Entry):
    did: ClassVar[str] = "sorbate"
    sorbate_g: float | None = number(0, 10_000, required=True)
    ph: float | None = number(*PH)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweeten(Entry):
    did: ClassVar[str] = "sweeten"
    honey_g: float | None = number(0.1, 2_000_000, required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Split(Entry):
    did: ClassVar[str] = "split"
    into: str | None = vessel_name(required=True)
    volume_l: float | None = number(*SOME_VOLUME_L, required=True)
    entry: str | None = key_of_entry()  # the key of the other half, in the vessel that it went into


@dataclass(frozen=True, slots=True, kw_only=True)
class Receive(Entry):
    did: ClassVar[str] = "receive"
    from_: str | None = vessel_name(required=True)
    entry: str | None = key_of_entry()
    volume_l: float | None = number(*SOME_VOLUME_L)
    water_g: float | None = number(*MASS_G, required=True)
    sugar_g: float | None = number(*MASS_G, required=True)
    ethanol_g: float | None = number(*MASS_G, required=True)
    pitched: date | datetime | None = moment()  # of the vessel that it came from, where this one begins with it
    # What went along of what was given there, so that the ceilings a litre stay what they were.
    dap_g: float | None = number(0, 10_000)
    autolysate_g: float | None = number(0, 10_000)
    complex_g: float | None = number(0, 10_000)
    so2_mg: float | None = number(0, 10_000_000)
    sorbate_mg: float | None = number(0, 10_000_000)
    sweetened_g: float | None = number(*MASS_G)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottle(Entry):
    did: ClassVar[str] = "bottle"
    count: int | None = whole(1, 10_000, required=True)
    size_ml: float | None = number(10, 60_000, required=True)
    glass: str | None = one_of("still", "sparkling", "beer")
    closure: str | None = words()
    priming_g: float | None = number(0, 100_000)
    priming_kind: str | None = one_of("sucrose", "dextrose", "honey")
    left_l: float | None = number(*VOLUME_L)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taste(Entry):
    did: ClassVar[str] = "taste"
    look: str | None = words()
    smell: str | None = words()
    taste: str | None = words()
    score: float | None = number(0, 20)


@dataclass(frozen=True, slots=True, kw_only=True)
class Open(Entry):
    did: ClassVar[str] = "open"
    count: int | None = whole(1, 10_000)
    size_ml: float | None = number(10, 60_000)
    why: str | None = one_of("drunk", "given", "burst")


@dataclass(frozen=True, slots=True, kw_only=True)
class Note(Entry):
    did: ClassVar[str] = "note"
    any_of: ClassVar[tuple[str, ...]] = ("text", "what")
    what: str | None = words()


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore(Entry):
    did: ClassVar[str] = "chore"
    any_of: ClassVar[tuple[str, ...]] = ("text", "what", "task")
    what: str | None = words()


@dataclass(frozen=True, slots=True, kw_only=True)
class Skip(Entry):
    did: ClassVar[str] = "skip"
    any_of: ClassVar[tuple[str, ...]] = ("task",)
    reason: str | None = words()


@dataclass(frozen=True, slots=True, kw_only=True)
class Postpone(Entry):
    did: ClassVar[str] = "postpone"
    any_of: ClassVar[tuple[str, ...]] = ("task",)
    until: date | datetime | None = moment(required=True)
    reason: str | None = words()


@dataclass(frozen=True, slots=True, kw_only=True)
class Strike(Entry):
    did: ClassVar[str] = "strike"
    entry: str | None = key_of_entry(required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Empty(Entry):
    did: ClassVar[str] = "empty"
    reason: str | None = words()


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown(Entry):
    """A kind that this version does not know: kept, shown, and counted for nothing."""

    did: ClassVar[str] = "unknown"


# The order of the design's table, column by column: it decides between entries of one instant.
KINDS: dict[str, type[Entry]] = {
    kind.did: kind
    for kind in (
        Mix, Pitch, Dose, Read, Aerate, Degas, Punch, Add, Fruit, Pull, Feed, Rack, TopUp, Level, Heat, Chill,
        Sulfite, Sorbate, Sweeten, Split, Receive, Bottle, Taste, Open, Note, Chore, Skip, Postpone, Strike, Empty,
    )
}  # fmt: skip
RANK = {did: rank for rank, did in enumerate(KINDS)}
_SPECS: dict[type[Entry], dict[str, Field[Any]]] = {}


def specs(kind: type[Entry]) -> dict[str, Field[Any]]:
    """The fields that a file may give for this kind, by their name in the file."""
    if kind not in _SPECS:
        _SPECS[kind] = {f.name.rstrip("_"): f for f in fields(kind) if f.metadata}
    return _SPECS[kind]


def order(entry: Entry) -> tuple[datetime, int, str]:
    """Entries happen by `at`, then by kind, then by key."""
    return (entry.at, RANK.get(entry.did, len(RANK)), entry.key)


def entry_from(key: str, written: Mapping[str, object]) -> Entry:
    """One entry from the values of its line.

    Raises Unfit with one sentence for a wrong type, a number out of its range or a missing field.
    Unknown fields go to `extra`; an unknown `did` gives an Unknown.
    """
    at = fit_instant("at", written.get("at"))
    did = written.get("did")
    if not isinstance(did, str) or not did:
        raise Unfit('did says what was done, as in did = "read"')
    kind = KINDS.get(did, Unknown)
    known = specs(kind)
    given: dict[str, Any] = {}
    extra: dict[str, object] = {}
    for name, value in written.items():
        if name in ("at", "did"):
            continue
        if name in known:
            given[known[name].name] = fit(name, value, known[name].metadata)
        else:
            extra[name] = value
    if kind is Unknown:
        extra["did"] = did
    for name, spec in known.items():
        if spec.metadata["required"] and spec.name not in given:
            raise Unfit(f"{did} needs {{}}", name)
    if kind.any_of and not any(name in given for name in kind.any_of):
        raise Unfit(f"{did} needs {{}}", *kind.any_of)
    return kind(key=key, at=at, extra=extra, written=dict(written), **given)
