"""Fruit in a must: what it brings, the room that it takes, and how it is made ready.

Composition: USDA SR28 and a textbook (tables/fruits.csv). Volumes add as in Choi & Okos (1986), by which the table's
densities were computed. What is an estimate without a source says so beside its number.
"""

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Literal, NamedTuple

from fermtui.must import limits
from fermtui.must.csv_tables import limit, maybe, rows

Cut = Literal["whole", "crushed", "pureed"]

WATER_G_PER_ML = 0.99574
SUGAR_G_PER_ML = 1.5929
"""Of water and carbohydrate at 20 °C in Choi & Okos (1986)."""
CLINGS_ML_PER_G_PULP = 4.0
CLINGS_ML_PER_G_FRUIT = 0.2
"""Mead that leaves with pulled, drained fruit, the larger of the two: estimates, no source."""
SUGAR_SD = {"seen": 0.15, "computed": 0.15, "textbook": 0.20, "estimate": 0.30}
"""Relative standard deviation of a fruit's sugar by how its table value came about: estimate, no source."""


class UnknownFruit(ValueError):
    """A fruit or treatment that is in no table; its text is one sentence with the nearest names."""


class FruitKind(NamedTuple):
    """One fruit in one form, per 100 g of edible part; None where the source has no value."""

    name: str
    form: str
    counted_for: str | None
    """The fruit that was asked for, when this is only its nearest relative (damson: plum)."""
    refuse_percent: float
    """Stones, peel and stems of the fruit as bought."""
    water_percent: float
    sugar_percent: float
    sugar_sd_relative: float
    density_g_per_ml: float
    air_share: float
    has_stones: bool
    ph_low: float | None
    ph_high: float | None
    pectin_percent: float | None
    acid_percent: float | None
    source: str

    @property
    def low_acid(self) -> bool:
        """Whether its pH may stand above 4.6, the acid food line: its must needs acid."""
        return self.ph_high is not None and self.ph_high > limit("acid_food_ph")


class FruitParts(NamedTuple):
    """What a mass of fruit brings into a vessel."""

    fruit: FruitKind
    edible_g: float
    water_g: float
    sugar_g: float
    sugar_sd_g: float
    pulp_g: float
    """Edible part that is neither water nor sugar."""
    pulp_ml: float
    """Its volume with stones: it counts for the level and not for the strength."""
    displaces_l: float
    """The room that all of it takes in the vessel, air in whole fruit included."""

    @property
    def pulled_loss_l(self) -> float:
        """Litres of mead that cling to the fruit and leave with it when it is pulled (estimate)."""
        return max(CLINGS_ML_PER_G_PULP * self.pulp_g, CLINGS_ML_PER_G_FRUIT * self.edible_g) / 1000


class Treatment(NamedTuple):
    """How fruit is made ready; None where nothing is to be heated or waited for."""

    key: str
    cut: Cut | None
    temp_c: float | None
    """What every particle must reach."""
    hold_s: float | None
    wait_h: float | None
    caution_moments: tuple[str, ...]
    what: str
    source: str


def fruit_names() -> tuple[str, ...]:
    """Return every name of the table, one for each fruit, in its order."""
    return tuple(_forms())


def other_names() -> Mapping[str, str]:
    """Return further names that are understood, each with the fruit that it is counted as."""
    return {row["asked"]: row["row"] for row in rows("fruit_names")}


def fruit(kind: str, treatment: str = "raw") -> FruitKind:
    """Look a fruit up by a friendly name ("Blackcurrants", "black-currant", "damson").

    Its frozen row is used when the treatment is "frozen" and the table has one. Raises UnknownFruit.
    """
    return _look_up(kind, "frozen" if treatment == "frozen" else "raw")


def fruit_parts(
    kind: str, mass_g: float, treatment: str = "raw", *, cut: Cut | None = None, as_bought: bool = False
) -> FruitParts:
    """Split `mass_g` of fruit (0 to 1e7 g) into water, sugar and pulp.

    The mass is the edible part, as given; with `as_bought` the refuse of the table is taken off first, and stones
    still take room in whole fruit. `cut` is how it stands in the must; left out, the treatment says.
    Raises OutOfRange, UnknownFruit. Source: USDA SR28 by the number in `.fruit.source`.
    """
    limits.mass_g("fruit", mass_g)
    of = fruit(kind, treatment)
    cut = cut or treatment_of(treatment).cut or "whole"
    edible_g = mass_g * (1 - of.refuse_percent / 100) if as_bought else mass_g
    water_g = edible_g * of.water_percent / 100
    sugar_g = edible_g * of.sugar_percent / 100
    # Stones sink or swim with the flesh and no density of theirs is at hand: they count with the flesh's.
    in_vessel_g = mass_g if of.has_stones and cut == "whole" else edible_g
    solid_ml = in_vessel_g / of.density_g_per_ml
    air = of.air_share if cut == "whole" else 0.0
    juice_ml = water_g / WATER_G_PER_ML + sugar_g / SUGAR_G_PER_ML
    return FruitParts(
        fruit=of,
        edible_g=edible_g,
        water_g=water_g,
        sugar_g=sugar_g,
        sugar_sd_g=sugar_g * of.sugar_sd_relative,
        pulp_g=max(edible_g - water_g - sugar_g, 0.0),
        pulp_ml=max(solid_ml - juice_ml, 0.0),
        displaces_l=solid_ml / (1 - air) / 1000,
    )


def room_left_l(capacity_l: float, level_l: float, displaces_l: float) -> float:
    """Return the litres still free above the fruit; below nothing it runs over by that much."""
    return limits.part_l(capacity_l) - limits.part_l(level_l) - limits.part_l(displaces_l)


@cache
def treatments() -> tuple[Treatment, ...]:
    """Return the ways to make fruit ready, pectic enzyme among them."""
    return tuple(
        Treatment(
            key=row["key"],
            cut=_cut(row["cut"]),
            temp_c=maybe(row["temp_c"]),
            hold_s=maybe(row["hold_s"]),
            wait_h=maybe(row["wait_h"]),
            caution_moments=tuple(row["cautions"].split()),
            what=row["what"],
            source=row["status_and_source"],
        )
        for row in rows("treatments")
    )


def treatment_of(key: str) -> Treatment:
    """Look a treatment up. Raises UnknownFruit."""
    for treatment in treatments():
        if treatment.key == key:
            return treatment
    names = ", ".join(treatment.key for treatment in treatments())
    raise UnknownFruit(f"treatment {_shown(key)} is not known: it is one of {names}")


def _cut(cell: str) -> Cut | None:
    return cell if cell in ("whole", "crushed", "pureed") else None  # type: ignore[return-value]  # narrowed by the test


@cache
def _forms() -> dict[str, dict[str, FruitKind]]:
    found: dict[str, dict[str, FruitKind]] = {}
    for row in rows("fruits"):
        found.setdefault(row["name"], {})[row["form"]] = FruitKind(
            name=row["name"],
            form=row["form"],
            counted_for=None,
            refuse_percent=float(row["refuse_percent"]),
            water_percent=float(row["water_g"]),
            sugar_percent=float(row["sugar_g"]),
            sugar_sd_relative=SUGAR_SD[row["sugars_status"]],
            density_g_per_ml=float(row["density_g_per_ml"]),
            air_share=float(row["air_share"]),
            has_stones=row["stones"] == "yes",
            ph_low=maybe(row["ph_low"]),
            ph_high=maybe(row["ph_high"]),
            pectin_percent=maybe(row["pectin_g"]),
            acid_percent=maybe(row["acid_g"]),
            source=f"USDA SR28, NDB {row['ndb']}, sugars {row['sugars_status']}",
        )
    return found


@lru_cache(maxsize=256)
def _look_up(kind: str, form: str) -> FruitKind:
    forms, counted_for = _find(kind)
    return (forms.get(form) or next(iter(forms.values())))._replace(counted_for=counted_for)


def is_fruit(kind: str) -> bool:
    """Whether the tables know a fruit of this name."""
    forms, others = _forms(), _other_names()
    return any(name in forms or name in others for name in _spellings(kind))


@cache
def _other_names() -> frozenset[str]:
    return frozenset(row["asked"] for row in rows("fruit_names"))


def _find(kind: str) -> tuple[dict[str, FruitKind], str | None]:
    """Return the forms of a fruit, and the asked name when they are only those of a relative."""
    forms, others = _forms(), {row["asked"]: row for row in rows("fruit_names")}
    for name in _spellings(kind):
        if name in forms:
            return forms[name], None
        if name in others:
            other = others[name]
            return forms[other["row"]], None if other["same"] == "yes" else name
    lowered = {name.casefold(): name for name in forms}
    for name in _spellings(kind):
        if name in lowered:
            return forms[lowered[name]], None
    raise UnknownFruit(_unknown(kind, [*forms, *others]))


def _spellings(kind: str) -> list[str]:
    """Return the name as typed and in the singular."""
    name = " ".join(kind.casefold().replace("-", " ").replace("_", " ").split())
    found = [name]
    if name.endswith("ies"):
        found.append(name[:-3] + "y")
    if name.endswith("es"):
        found.append(name[:-2])
    if name.endswith("s"):
        found.append(name[:-1])
    return found


def _unknown(kind: str, names: list[str]) -> str:
    from difflib import get_close_matches  # only a mistyped name pays for it

    near = get_close_matches(kind[:40].casefold(), names, n=3, cutoff=0.5)
    hint = f"did you mean {', '.join(near)}?" if near else f"it is one of {', '.join(names[:6])} and so on"
    return f"fruit {_shown(kind)} is not in the table: {hint}"


def _shown(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:39] + "…")
