"""Words typed as key=value, or into a form -> the values of an entry's fields, in the unit of the field's name."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, tzinfo
from decimal import Decimal

from fermtui import clock, units
from fermtui.daybook.fields import FIELDS, Unfit, Unit
from fermtui.daybook.kinds import KINDS
from fermtui.units import Units, Unreadable
from fermtui.wording.plain import nearest

Value = str | bool | int | float | Decimal | date
LIGHTEST_SPIRIT_SG = Decimal("0.79")
_BARE = re.compile(r"\s*[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)\s*\Z")
_READ: Mapping[Unit, Callable[[str], float]] = {
    "L": units.volume_l,
    "mL": lambda text: 1000.0 * units.volume_l(text),
    "g": units.mass_g,
    "°C": units.temp_c,
    "%": units.percent,
    "% vol": units.percent,
}


def fields_from_words(
    did: str,
    words: Mapping[str, str],
    zone: tzinfo,
    known: Units = units.METRIC,
    today: date | None = None,
    *,
    in_form: bool = False,
) -> dict[str, Value]:
    """The fields of an entry of this kind from what was typed.

    A bare number is in the unit that stands in the field's name and keeps its written precision; `1lb`, `70F`, `1042`
    are understood, and with `today` also `tomorrow` and `+3` for a day. In a form, whose labels say so, a bare
    temperature is in the maker's unit. Names that the kind does not have are refused,
    so that a slip of the finger is not lost in a file.
    Raises Unfit with one sentence.
    """
    kind = KINDS.get(did)
    if kind is None:
        kinds = nearest(did, KINDS) or f"one of {', '.join(sorted(KINDS))}"
        raise Unfit(f"{did[:40]!r} is no kind of entry: {kinds}")
    wanted = kind.fields
    found: dict[str, Value] = {}
    for name, text in words.items():
        spec = wanted.get(name)
        if spec is None:
            having = nearest(name, wanted, after="=") or f"it has {', '.join(wanted)}"
            raise Unfit(f"{did} has no field {name[:40]}: {having}")
        if text.strip() == "":
            raise Unfit("{} is empty: give it a value or leave it out", name)
        if in_form and spec.unit == "°C" and _BARE.match(text):
            text = f"{text.strip()} {known.temp}" if known.temp != "C" else text
        found[name] = _value(name, text, spec.reads, zone, known, today)
    return found


def _value(name: str, text: str, kind: str, zone: tzinfo, known: Units, today: date | None) -> Value:
    if kind in ("number", "whole"):
        return number_of(name, text, known)
    if kind == "moment":
        try:
            return _moment(text, zone, today)
        except clock.NotATime as bad:
            raise Unfit(f"{{}}: {bad}", name) from None
    return text.strip()


def _moment(text: str, zone: tzinfo, today: date | None) -> date | datetime:
    if today is not None and not re.match(r"\d{4}-\d{2}-\d{2}[T ]", text.strip()):
        return clock.read_day(text, today)
    if len(text.strip()) <= 10:
        return clock.read_when(text, zone).date()
    return clock.read_when(text, zone)


def number_of(name: str, text: str, known: Units = units.METRIC) -> Decimal:
    """A number for the field of that name, in the unit that stands in the name. Raises Unfit."""
    try:
        unit = FIELDS[name].unit
        if unit == "SG":
            bare = Decimal(text.strip().replace(",", ".")) if _BARE.match(text) else None
            if bare is not None and (LIGHTEST_SPIRIT_SG <= bare < 0.95 or 1000 * LIGHTEST_SPIRIT_SG <= bare < 900):
                return bare if bare < 1 else bare.scaleb(-3)  # that of a spirit; its field says whether it takes one
            sg = units.gravity_sg(text, Units(gravity="sg", decimal_comma=known.decimal_comma))
            value = Decimal(f"{sg:.4f}") if bare is None else bare
            return value.scaleb(-3) if value >= 900 else value
        if _BARE.match(text):
            units.number(text)
            return Decimal(text.strip().replace(",", "."))
        return _tidy(_READ[unit](text)) if unit in _READ else Decimal(str(units.number(text)))
    except Unreadable as bad:
        raise Unfit(f"{{}}: {bad}", name) from None


def _tidy(value: float) -> Decimal:
    """Four significant figures at least, none after the third decimal: what a kitchen scale can tell."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return Decimal(text or "0")
