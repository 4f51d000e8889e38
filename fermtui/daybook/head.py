"""The head of a vessel: vessel.toml, written once when the vessel is started and edited by people only."""

from collections.abc import Container, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from fermtui.daybook.fields import GRAVITY, MASS_G, NAME, SOME_VOLUME_L, TEMP_C, Unfit, fit_number
from fermtui.daybook.settings import DEMANDS

DEFAULT_END = 1.000
KEEPS = ("glass", "dry", "cold", "heat")
"""How a sweet mead is kept where salts do not hold it: sweetened in the glass, not at all, cold, or heated."""
WELL_FED, LEFT_ALONE = "well fed", "left to itself"
FEEDINGS = (WELL_FED, LEFT_ALONE)
"""What the maker can say of a must: nutrient and warmth as it needs them, or neither."""
NOTHING: Mapping[str, object] = MappingProxyType({})


class Yeast(NamedTuple):
    """The yeast as the maker names it; `demand` for nitrogen is low, medium or high; `tolerance_abv` in % vol."""

    name: str | None = None
    demand: str = "medium"
    tolerance_abv: float | None = None


class PlannedFruit(NamedTuple):
    """Fruit that is to go in: `kind` as in the fruit table, mass as it will be weighed in."""

    kind: str
    mass_g: float | None = None
    treatment: str | None = None


class PlannedPour(NamedTuple):
    """A part of the must, mixed with it and poured apart before the yeast: into which vessel, and litres of it."""

    into: str
    volume_l: float


class Plan(NamedTuple):
    """What the maker wants; `volume_l` is what stands in this vessel, without what is poured apart before the yeast.

    `sweet_to`, `co2_volumes`: None where sweet or sparkling is said but not measured. `keep` is how it is kept sweet,
    one of KEEPS; None is by sulfite and sorbate. `fed` is one of FEEDINGS, None where nobody has said.
    """

    volume_l: float | None = None
    gravity: float | None = None
    abv_percent: float | None = None
    end: float = DEFAULT_END
    temp_c: float | None = None
    yeast: Yeast = Yeast()
    fruit: PlannedFruit | None = None
    pour: PlannedPour | None = None
    doses: Mapping[str, float] | None = None
    sweet: bool = False
    sweet_to: float | None = None
    sparkling: bool = False
    co2_volumes: float | None = None
    honey_moisture_percent: float | None = None
    juice_l: float | None = None
    juice_sg: float | None = None
    spice: str | None = None
    malolactic: bool = False
    keep: str | None = None
    fed: str | None = None
    age_months: float | None = None
    extra: Mapping[str, object] = NOTHING


class Head(NamedTuple):
    """The head: what a vessel is called, what it stands in and what it is meant to become."""

    name: str
    container: str | None = None
    capacity_l: float | None = None
    schedule: str | None = None
    parent: str | None = None
    style: str | None = None
    started: object = None
    plan: Plan = Plan()
    extra: Mapping[str, object] = NOTHING


def _number(table: Mapping[str, object], name: str, low: float, high: float, where: str = "plan.") -> float | None:
    value = table.get(name)
    return None if value is None else fit_number(f"{where}{name}", value, low, high)


def _words(table: Mapping[str, object], name: str, where: str = "", most: int = 500) -> str | None:
    value = table.get(name)
    if value is None:
        return None
    if not isinstance(value, str) or not value.strip():
        raise Unfit("{} is text in quotes", f"{where}{name}")
    if len(value) > most:
        raise Unfit(f"{{}} holds {len(value)} characters; {most} is the most", f"{where}{name}")
    return value


def _table(table: Mapping[str, Any], name: str, where: str = "") -> Mapping[str, Any]:
    value = table.get(name, {})
    if not isinstance(value, dict):
        raise Unfit(f"{{}} is a table, as in {name} = {{ ... }}", f"{where}{name}")
    return value


def _flag_or_number(table: Mapping[str, object], name: str, low: float, high: float) -> tuple[bool, float | None]:
    value = table.get(name)
    if value is None or isinstance(value, bool):
        return bool(value), None
    return True, _number(table, name, low, high)


def _keep(plan: Mapping[str, object]) -> str | None:
    keep = plan.get("keep")
    if keep is not None and keep not in KEEPS:
        raise Unfit(f"{{}} is one of {', '.join(KEEPS)}", "plan.keep")
    return str(keep) if keep is not None else None


def fed_from(text: object) -> str | None:
    """One of FEEDINGS from words that say so, in any case and spacing; None for others."""
    said = " ".join(text.split()).casefold() if isinstance(text, str) else ""
    return said if said in FEEDINGS else None


def _fed(plan: Mapping[str, object]) -> str | None:
    if "fed" not in plan:
        return None
    fed = fed_from(plan["fed"])
    if fed is None:
        raise Unfit(f"{{}} is one of {', '.join(FEEDINGS)}", "plan.fed")
    return fed


def _yes_or_no(table: Mapping[str, object], name: str) -> bool:
    value = table.get(name, False)
    if not isinstance(value, bool):
        raise Unfit("{} is true or false", f"plan.{name}")
    return value


def _yeast(plan: Mapping[str, Any]) -> Yeast:
    if isinstance(plan.get("yeast"), str):
        return Yeast(name=_words(plan, "yeast", "plan."))
    table = _table(plan, "yeast", "plan.")
    demand = table.get("demand", "medium")
    if demand not in DEMANDS:
        raise Unfit("{} is low, medium or high", "plan.yeast.demand")
    tolerance = _number(table, "tolerance_abv", 1, 25, "plan.yeast.")
    return Yeast(_words(table, "name", "plan.yeast."), demand, tolerance)


def _fruit(plan: Mapping[str, Any]) -> PlannedFruit | None:
    table = _table(plan, "fruit", "plan.")
    if not table:
        return None
    kind = _words(table, "kind", "plan.fruit.")
    if kind is None:
        raise Unfit('{} needs kind, as in kind = "plum"', "plan.fruit")
    mass_g = _number(table, "mass_g", *MASS_G, "plan.fruit.")
    return PlannedFruit(kind, mass_g, _words(table, "treatment", "plan.fruit."))


def _pour(plan: Mapping[str, Any]) -> PlannedPour | None:
    table = _table(plan, "pour", "plan.")
    if not table:
        return None
    into = _words(table, "into", "plan.pour.")
    litres = _number(table, "volume_l", *SOME_VOLUME_L, "plan.pour.")
    if into is None or not NAME.match(into) or litres is None:
        raise Unfit('{} names the vessel and the litres, as in {{ into = "sloe", volume_l = 4.0 }}', "plan.pour")
    return PlannedPour(into, litres)


def _doses(plan: Mapping[str, Any]) -> dict[str, float] | None:
    if "doses" not in plan:
        return None
    table = _table(plan, "doses", "plan.")
    doses: dict[str, float] = {}
    for name in table:
        if name not in ("dap_g", "autolysate_g", "complex_g"):
            raise Unfit("{} holds dap_g, autolysate_g and complex_g", "plan.doses")
        grams = _number(table, name, 0, 10_000, "plan.doses.")
        doses[name] = grams or 0.0
    return doses


PLAN_NAMES = frozenset(Plan._fields) - {"sweet_to", "co2_volumes", "extra"}
HEAD_NAMES = frozenset(Head._fields) - {"extra"}


def plan_from(plan: Mapping[str, Any]) -> Plan:
    """The plan from its table in the head, or Unfit with one sentence. Unknown fields go to `extra`."""
    sweet, sweet_to = _flag_or_number(plan, "sweet", *GRAVITY)
    sparkling, co2_volumes = _flag_or_number(plan, "sparkling", 0.5, 8)
    return Plan(
        volume_l=_number(plan, "volume_l", *SOME_VOLUME_L),
        gravity=_number(plan, "gravity", *GRAVITY),
        abv_percent=_number(plan, "abv_percent", 0, 25),
        end=_number(plan, "end", *GRAVITY) or DEFAULT_END,
        temp_c=_number(plan, "temp_c", *TEMP_C),
        yeast=_yeast(plan),
        fruit=_fruit(plan),
        pour=_pour(plan),
        doses=_doses(plan),
        sweet=sweet,
        sweet_to=sweet_to,
        sparkling=sparkling,
        co2_volumes=co2_volumes,
        honey_moisture_percent=_number(plan, "honey_moisture_percent", 10, 30),
        juice_l=_number(plan, "juice_l", 0, 2000),
        juice_sg=_number(plan, "juice_sg", *GRAVITY),
        spice=_words(plan, "spice", "plan."),
        malolactic=_yes_or_no(plan, "malolactic"),
        keep=_keep(plan),
        fed=_fed(plan),
        age_months=_number(plan, "age_months", 0, 600),
        extra={name: value for name, value in plan.items() if name not in PLAN_NAMES},
    )


def head_from(table: Mapping[str, Any]) -> Head:
    """The head from a parsed vessel.toml.

    Only `name` is required. Raises Unfit with one sentence that names the field. Unknown fields go to `extra`.
    """
    name = _words(table, "name")
    if name is None:
        raise Unfit('{} is missing, as in name = "Damson"', "name")
    schedule = _words(table, "schedule")
    if schedule is not None and not NAME.match(schedule):
        raise Unfit("{} is the name of a schedule file without its ending", "schedule")
    return Head(
        name=name,
        container=_words(table, "container"),
        capacity_l=_number(table, "capacity_l", *SOME_VOLUME_L, ""),
        schedule=schedule,
        parent=_words(table, "parent"),
        style=_words(table, "style"),
        started=table.get("started"),
        plan=plan_from(_table(table, "plan")),
        extra={key: value for key, value in table.items() if key not in HEAD_NAMES},
    )


def plan_table(plan: Plan) -> dict[str, Any]:
    """The table from which `plan_from` makes this plan; what is not known is left out."""
    table = _known(plan, PLAN_NAMES - {"sweet", "sparkling"})
    table["yeast"] = _known(plan.yeast, Yeast._fields)
    if plan.fruit is not None:
        table["fruit"] = _known(plan.fruit, PlannedFruit._fields)
    if plan.pour is not None:
        table["pour"] = plan.pour._asdict()
    if plan.doses is not None:
        table["doses"] = dict(plan.doses)
    if plan.sweet:
        table["sweet"] = plan.sweet if plan.sweet_to is None else plan.sweet_to
    if plan.sparkling:
        table["sparkling"] = plan.sparkling if plan.co2_volumes is None else plan.co2_volumes
    if not plan.malolactic:
        table.pop("malolactic")
    return {**table, **plan.extra}


def head_table(head: Head) -> dict[str, Any]:
    """The table from which `head_from` makes this head; what is not known is left out."""
    return {**_known(head, HEAD_NAMES - {"plan"}), "plan": plan_table(head.plan), **head.extra}


def _known(record: Any, names: Container[str]) -> dict[str, Any]:
    values = record._asdict()
    return {name: value for name, value in values.items() if name in names and value is not None}
