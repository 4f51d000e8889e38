"""What a person types after a look at the hydrometer -> the fields of a `read` entry."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from fermtui import clock, units
from fermtui.clock import NotATime
from fermtui.units import DEGREES, METRIC, SCALE_OF, Units, Unreadable

LIKE = "write it like 1.042 21, 1042 @ 70F, 8,4bx or pH 3.4, and when, as in yesterday 18:30 or 3 days ago"
_SCALES = "|".join(SCALE_OF)
_SPLIT_UNIT = re.compile(rf"(?<=\d)\s+(?=(?:°?(?:[cf]|{_SCALES})|ml|sg)(?:\s|,\s|@|\Z))", re.IGNORECASE)
_PH = re.compile(r"ph\s*[:=]?\s*(\d+(?:[.,]\d+)?)", re.IGNORECASE)
_PH_BEHIND = re.compile(r"(?<![\d.,])([2-9](?:[.,]\d+)?)\s*ph(?=[\s,;]|\Z)", re.IGNORECASE)
_SLASH = re.compile(r"(?<=\d)\s*/\s*(?=\d)")
_TEMP_NEXT = frozenset({"@", "at", "temp", "temperature", "t"})
_SAYS_GRAVITY = frozenset({"sg", "gravity"})
_SO2 = re.compile(r"(?:free\s*)?so2\s*[:=]?\s*(\d+(?:[.,]\d+)?)(?:\s*(?:mg/l|ppm))?", re.IGNORECASE)
_SAMPLE = re.compile(r"(?:sample\s+)?(\d+(?:[.,]\d+)?)\s*ml(?=\s|\Z)", re.IGNORECASE)
_DAY = (
    rf"(?:(?:last\s+|on\s+)?(?:{'|'.join(day[:3] for day in clock.WEEKDAYS)})[a-z]*"
    r"|(?:\d{1,4}|an?|one)\s*(?:day|week)s?\s+ago|yesterday|today|\d{1,2}\.\d{1,2}\.\d{4}|\d{4}-\d{2}-\d{2})"
)
_HOUR = r"(?:at\s+)?(?:[01]?\d|2[0-3]):[0-5]\d"
_INSTANT = r"\d{4}-\d\d-\d\dT\S+|(?:\d{1,3}|an?|one)\s*hours?\s+ago"
_WHEN = re.compile(rf"(?<!\S)(?:{_INSTANT}|{_DAY}(?:,?\s+{_HOUR})?|{_HOUR}(?:\s+{_DAY})?)(?=[\s,;]|\Z)", re.IGNORECASE)
_DEGREES = re.compile(rf"(-?\d+(?:[.,]\d*)?)°?({_SCALES})\Z", re.IGNORECASE)
_TEMP = re.compile(r"([-+]?\d+(?:[.,]\d*)?)(?:°?([cf]))\Z", re.IGNORECASE)
_SG = re.compile(r"(-?\d+(?:[.,]\d*)?|[.,]\d+)(?:sg)?\Z", re.IGNORECASE)
_SHOWN = {"ph": "pH", "free_so2_mg_per_l": "free SO2 in mg/L", "sample_ml": "a sample in mL", "brix": "Brix"}
COLDEST_C, HOTTEST_C = -5.0, 40.0


@dataclass(frozen=True, slots=True)
class Typed:
    """Fields of a `read` entry, numbers with the precision in which they were typed, and when it was taken.

    `understood` says of degrees which instrument they were taken for, and what they come to.
    """

    fields: dict[str, Decimal]
    at: datetime
    understood: str = ""


def read_line(text: str, now: datetime, known: Units = METRIC) -> Typed:
    """Understand one reading line. Raises Unreadable with a sentence that says what would be right."""
    if not text.strip():
        raise Unreadable(f"nothing is typed yet: {LIKE}")
    if len(text) > 200:
        raise Unreadable(f"a reading is short, this has {len(text)} characters: {LIKE}")
    fields: dict[str, Decimal] = {}
    rest = text
    for name, pattern, low, high in (
        ("ph", _PH, 1.0, 10.0), ("free_so2_mg_per_l", _SO2, 0.0, 1000.0), ("sample_ml", _SAMPLE, 0.0, 5000.0),
    ):  # fmt: skip
        found = pattern.search(rest) or (_PH_BEHIND.search(rest) if name == "ph" else None)
        if found:
            fields[name] = _within(found[1], low, high, name)
            rest = rest[: found.start()] + " " + rest[found.end() :]
    rest, at = _taken_at(rest, now)
    after_at, understood = False, ""
    for word in _words(rest):
        if word.lower().rstrip(":=") in _TEMP_NEXT:
            after_at = True
            continue
        if word.lower().rstrip(":=") in _SAYS_GRAVITY:
            continue
        understood = _number_word(word, fields, known, text, is_temp=after_at) or understood
    if not fields.keys() - {"sample_ml"}:
        raise Unreadable(f"{text[:40]!r} holds no reading: {LIKE}")
    if at > now:
        raise Unreadable(f"{at:%Y-%m-%d %H:%M} is still to come: put `yesterday` before the time, or a date")
    return Typed(fields, at, understood)


def _taken_at(text: str, now: datetime) -> tuple[str, datetime]:
    """What is left of the line without the words that say when, and when that was: now where none do."""
    found = list(_WHEN.finditer(text))
    if not found:
        return text, now
    if len(found) > 1:
        raise Unreadable(f"{text.strip()[:40]!r} holds two times: {clock.HOW}")
    words, zone = found[0][0], now.tzinfo
    assert zone is not None
    # A day behind the hour: `18:30 yesterday`.
    turned = re.fullmatch(rf"({_HOUR})\s+({_DAY})", words, re.IGNORECASE)
    try:
        at = clock.read_when(f"{turned[2]} {turned[1]}" if turned else words, zone, now)
    except NotATime as fault:
        raise Unreadable(str(fault)) from None
    if re.fullmatch(r"\d{4}-\d\d-\d\d|\d{1,2}\.\d{1,2}\.\d{4}", words):
        at = datetime.combine(at.date(), now.timetz())
    return f"{text[: found[0].start()]} {text[found[0].end() :]}", at


def _words(text: str) -> list[str]:
    joined = _SPLIT_UNIT.sub("", _SLASH.sub(" ", text.replace("@", " @ ")))
    return [word.strip(";").rstrip(",") for word in joined.split() if word.strip(";,")]


def _number_word(word: str, fields: dict[str, Decimal], known: Units, text: str, *, is_temp: bool) -> str:
    """Take one number into the fields; of degrees, what they were taken for."""
    degrees = _DEGREES.match(word)
    if degrees and not is_temp:
        return _degrees(SCALE_OF[degrees[2].lower()], degrees[1], fields, known, text)
    temp = _TEMP.match(word)
    gravity_given = "sg" in fields or "brix" in fields
    bare = _SG.match(word)
    if gravity_given and not temp and not is_temp and re.match(r"(?:0[.,]9|1[.,][0-2])\d", word):
        raise Unreadable(f"{text[:40]!r} holds two gravities: write one line for each")
    if temp or (bare and (is_temp or gravity_given)):
        _once("temp_c", fields, text)
        fields["temp_c"] = _temp(word, known)
        return ""
    if bare is None:
        raise Unreadable(f"{word[:30]!r} cannot be read: {LIKE}")
    if not word.lower().endswith("sg") and units.is_degrees(float(_decimal(bare[1])), known):
        return _degrees(known.gravity, bare[1], fields, known, text)
    fields["sg"] = _gravity(bare[1])
    return ""


def _degrees(scale: str, number: str, fields: dict[str, Decimal], known: Units, text: str) -> str:
    """Degrees Brix are a refractometer's unless the maker's hydrometer is marked so; all others are a hydrometer's.

    Returns `19.3 °P on a hydrometer, which is 1.0800`.
    """
    shown = f"{number.replace('.', ',') if known.decimal_comma else number} {DEGREES[scale]}"
    if scale == "brix" and known.brix == "refractometer":
        _once("brix", fields, text)
        fields["brix"] = _within(number, 0.0, 50.0, "brix")
        return f"{shown} on a refractometer"
    _once("sg", fields, text)
    sg = units.gravity_sg(f"{number} {scale}")
    if not 0.95 <= sg <= 1.3:
        raise Unreadable(f"{number} {DEGREES[scale]} is no gravity between 0.950 and 1.300: {LIKE}")
    fields["sg"] = Decimal(f"{sg:.4f}")
    return f"{shown} on a hydrometer, which is {units.show_number(sg, 4, known)}"


def _once(name: str, fields: dict[str, Decimal], text: str) -> None:
    if name in fields:
        raise Unreadable(f"{text[:40]!r} holds two values for one thing: {LIKE}")


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", ".").rstrip("."))


def _within(text: str, low: float, high: float, name: str) -> Decimal:
    value = _decimal(text)
    if not low <= float(value) <= high:
        raise Unreadable(f"{text} is outside {low:g} to {high:g} for {_SHOWN[name]}: {LIKE}")
    return value


def _gravity(text: str) -> Decimal:
    value = _decimal(text)
    if 900 <= value <= 1300:
        value = value.scaleb(-3)
    places = -int(value.as_tuple().exponent)
    if not Decimal("0.95") <= value <= Decimal("1.3") or places > 4:
        raise Unreadable(f"{text} is no gravity between 0.950 and 1.300: {LIKE}")
    return value


def _temp(text: str, known: Units) -> Decimal:
    celsius = units.temp_c(text, known)
    if not COLDEST_C <= celsius <= HOTTEST_C:
        cold, hot = units.show_temp(COLDEST_C, known), units.show_temp(HOTTEST_C, known)
        raise Unreadable(
            f"{text} is outside {cold} to {hot} for a sample: let it come to room temperature, then {LIKE}"
        )
    return Decimal(f"{celsius:.1f}".removesuffix(".0"))
