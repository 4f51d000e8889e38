"""What a field of an entry may hold. Each check gives the value in the type that the struct wants, or raises Unfit."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

TEXT_MOST = 2000
GRAVITY = (0.95, 1.3)
TEMP_C = (-10.0, 100.0)
PH = (1.0, 10.0)
VOLUME_L = (0.0, 2000.0)
SOME_VOLUME_L = (0.001, 2000.0)
MASS_G = (0.0, 2_000_000.0)
FIRST_YEAR, LAST_YEAR = 1970, 2200
KEY = re.compile(r"[A-Za-z0-9_-]{1,80}\Z")
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,79}\Z")


class Unfit(ValueError):
    """A value that cannot be; the message is one sentence, with `fields` (as the file names them) at its `{}`."""

    def __init__(self, sentence: str, *fields: str) -> None:
        self.sentence, self.fields = sentence, fields
        super().__init__(self.text(str))

    @property
    def field(self) -> str:
        """The field at fault, empty where it is none."""
        return self.fields[0] if self.fields else ""

    def text(self, name_of: Callable[[str], str]) -> str:
        """The sentence with the fields under other names."""
        return self.sentence.replace("{}", " or ".join(map(name_of, self.fields)), 1) if self.fields else self.sentence


def _field(metadata: dict[str, Any]) -> Any:
    from dataclasses import field  # whoever only checks a value does not wait for it

    return field(default=None, metadata=metadata)


def number(low: float, high: float, *, required: bool = False) -> Any:
    """A finite number from `low` to `high`, both included, in the unit that stands in the field's name."""
    return _field({"type": "number", "low": low, "high": high, "required": required})


def whole(low: int, high: int, *, required: bool = False) -> Any:
    """A whole number from `low` to `high`, both included."""
    return _field({"type": "whole", "low": low, "high": high, "required": required})


def words(*, required: bool = False, most: int = TEXT_MOST) -> Any:
    """Free text of at most `most` characters."""
    return _field({"type": "words", "most": most, "required": required})


def one_of(*choices: str, required: bool = False) -> Any:
    """One of the words given."""
    return _field({"type": "one_of", "choices": choices, "required": required})


def key_of_entry(*, required: bool = False) -> Any:
    """The key of an entry, a bare TOML key."""
    return _field({"type": "key", "required": required})


def vessel_name(*, required: bool = False) -> Any:
    """The folder name of a vessel: no separators, so it never leaves the cellar."""
    return _field({"type": "vessel", "required": required})


def moment(*, required: bool = False) -> Any:
    """A date, or an instant with its offset."""
    return _field({"type": "moment", "required": required})


def fit(name: str, value: object, spec: Any) -> object:
    """Check one value against the metadata of its field.

    Returns float, int, str, date or datetime. Raises Unfit with a sentence that says what would be right.
    """
    kind = spec["type"]
    if kind in ("number", "whole"):
        return _fit_number(name, value, spec)
    if kind == "moment":
        return fit_moment(name, value)
    if not isinstance(value, str):
        raise Unfit("{} is text in quotes", name)
    if kind == "one_of" and value not in spec["choices"]:
        raise Unfit(f"{{}} is one of {', '.join(spec['choices'])}, not {value[:40]!r}", name)
    if kind == "key" and not KEY.match(value):
        raise Unfit("{} is the key of an entry (letters, digits and hyphens)", name)
    if kind == "vessel" and not NAME.match(value):
        raise Unfit("{} is a vessel's folder name (letters, digits and hyphens)", name)
    if kind == "words" and len(value) > spec["most"]:
        raise Unfit(f"{{}} holds {len(value)} characters; {spec['most']} is the most", name)
    return value


def _fit_number(name: str, value: object, spec: Any) -> float | int:
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise Unfit("{} is a number without quotes", name)
    low, high = spec["low"], spec["high"]
    if isinstance(value, int) and abs(value) >= 2**63:  # float() and str() of a huge int may fail
        raise Unfit(f"{{}} is a number from {low:g} to {high:g}", name)
    given = float(value)
    if not math.isfinite(given) or not low <= given <= high:
        raise Unfit(f"{{}} is a number from {low:g} to {high:g}, not {str(value)[:40]}", name)
    if spec["type"] == "whole":
        if given != int(given):
            raise Unfit(f"{{}} is a whole number, not {str(value)[:40]}", name)
        return int(given)
    return given


def fit_moment(name: str, value: object) -> date | datetime:
    """A date or an instant with offset between the years 1970 and 2200, or Unfit."""
    if not isinstance(value, date):
        raise Unfit("{} is a date (2026-03-18) or a time with offset (2026-03-18T20:15:00+01:00)", name)
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise Unfit(f"{{}} lies between the years {FIRST_YEAR} and {LAST_YEAR}, not {value.year}", name)
    if isinstance(value, datetime) and value.tzinfo is None:
        raise Unfit("{} is a time without its offset; write it as in 2026-03-18T20:15:00+01:00", name)
    return value


def fit_instant(name: str, value: object) -> datetime:
    """An instant with its offset, or Unfit."""
    if not isinstance(value, datetime) or value.tzinfo is None:
        raise Unfit("{} is a time with its offset, as in 2026-03-18T20:15:00+01:00", name)
    fit_moment(name, value)
    return value
