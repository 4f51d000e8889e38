"""What a sum takes, and what was typed for it read into numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

from fermtui import units as read
from fermtui.daybook.settings import Settings
from fermtui.units import METRIC, Units, Unreadable

PARTS = frozenset({"inorganic", "complex", "bound", "spent", "loss-percent", "moisture", "autolysate-n", "complex-n"})
"""Percentages of a whole that nobody means below one."""
YES = frozenset({"yes", "y", "true", "1", "on", ""})
NO = frozenset({"no", "n", "false", "0", "off"})


class WrongOptions(Exception):
    """An option is missing, unknown or does not go with another; a sentence with `options` at each `{}`. Status 2.

    A form shows `str()`; `dashed` has the names as a command line takes them (`--from`).
    """

    def __init__(self, sentence: str, *options: str) -> None:
        super().__init__(sentence.format(*options))
        self.dashed = sentence.format(*(f"--{option}" for option in options))


def closest_first(name: str, names: Iterable[str]) -> list[str]:
    """The names, the one that is spelled most like `name` first."""
    from difflib import SequenceMatcher

    return sorted(names, key=lambda one: -SequenceMatcher(None, name.casefold(), one).ratio())


class Option(NamedTuple):
    """One thing that a sum is told. `usual` is what counts when it is left out; None and not `optional`: it must be
    given. `kind` names the reader below, `like` shows how it may be written. `setting` is the one of cellar.toml that
    `usual` comes from, as in `nutrients.autolysate_effect`.
    """

    name: str
    kind: str
    like: str
    says: str
    usual: str | None = None
    optional: bool = False
    choices: tuple[str, ...] = ()
    setting: str = ""
    reasonable: tuple[float, float] | None = None
    """Outside of it the sum is done and the maker is asked whether it is meant."""

    @property
    def required(self) -> bool:
        return self.usual is None and not self.optional


_WRITTEN = {"percent": "{} %", "temp": "{} C", "mg_per_l": "{} mg/L", "room": "{} m3"}


def with_usual(options: Iterable[Option], settings: Settings) -> tuple[Option, ...]:
    """The options with the maker's settings as their usual values."""
    return tuple(option._replace(usual=_usual(option, settings)) if option.setting else option for option in options)


def _usual(option: Option, settings: Settings) -> str | None:
    value: Any = settings
    for name in option.setting.split("."):
        value = getattr(value, name)
    if value is None or isinstance(value, str):
        return value
    if option.kind == "percent" and option.setting.endswith("_share"):
        value = 100 * value
    # Never with an exponent: the readers below do not take one.
    return _WRITTEN.get(option.kind, "{}").format(f"{value:.6f}".rstrip("0").rstrip("."))


def _ph(text: str, _units: Units) -> float:
    bare = text.strip()
    return read.number(bare[2:] if bare[:2].lower() == "ph" else bare)


READERS: Mapping[str, Callable[[str, Units], float]] = {
    "volume": read.volume_l,
    "mass": read.mass_g,
    # What is weighed on a small scale is in grams for everybody.
    "grams": lambda text, _units: read.mass_g(text, METRIC),
    "temp": read.temp_c,
    "gravity": read.gravity_sg,
    "percent": lambda text, _units: read.percent(text),
    "g_per_l": lambda text, _units: read.per_litre_g(text),
    "mg_per_l": lambda text, _units: read.per_litre_mg(text),
    "room": lambda text, _units: read.room_m3(text),
    "bottle": read.bottle_ml,
    "ph": _ph,
    "number": lambda text, _units: read.number(text),
}
"""Kind of option -> what reads it, into L, g, °C, SG, %, g/L, mg/L, m3, mL, pH or a bare number. Raises Unreadable."""


class GivenOptions:
    """The options of one sum, read, with `settings` of the maker where they were left out."""

    def __init__(self, what: str, options: tuple[Option, ...], given: Mapping[str, str], settings: Settings) -> None:
        """Raises WrongOptions for a missing or unknown option, Unreadable for one that cannot be read."""
        self.what = what
        self.settings = settings
        self.given = frozenset(given)
        self._numbers: dict[str, float] = {}
        self._words: dict[str, str] = {}
        self.asks: list[str] = []
        known = {option.name: option for option in options}
        for name in given:
            if name not in known:
                having = closest_first(name, known)
                takes = ", ".join(["{}"] * len(having))
                raise WrongOptions(f"{what} does not take {{}}: it takes {takes}", name[:40], *having)
        for option in with_usual(options, settings):
            text = given.get(option.name, option.usual)
            if text is not None:
                self._read(option, text)
                if option.name in given:
                    self._ask(option)
            elif option.required:
                raise WrongOptions(f"{what} needs {{}} ({option.says}), as in {option.like}", option.name)

    def _read(self, option: Option, text: str) -> None:
        if option.kind == "word":
            self._words[option.name] = _word(option, text)
        elif option.kind == "flag":
            self._numbers[option.name] = float(_flag(option, text))
        else:
            try:
                self._numbers[option.name] = READERS[option.kind](text, self.settings.units)
            except Unreadable as fault:
                raise Unreadable(f"{option.name}: {fault}") from None

    def _ask(self, option: Option) -> None:
        value = self._numbers.get(option.name)
        if value is None:
            return
        shown = f"{option.name} {value:g}{' %' if option.kind == 'percent' else ''}"
        if option.kind == "percent" and option.name in PARTS and 0.0 < value < 1.0:
            self.asks.append(f"{shown} is next to nothing: if {100 * value:g} % is meant, write {100 * value:g}")
        elif option.reasonable is not None and not option.reasonable[0] <= value <= option.reasonable[1]:
            low, high = option.reasonable
            self.asks.append(f"{shown} is meant? {low:g} to {high:g} is usual")

    def number(self, name: str) -> float:
        """The number of an option that is required or has a usual value."""
        return self._numbers[name]

    def maybe(self, name: str) -> float | None:
        """The number of an option, or None where it was left out."""
        return self._numbers.get(name)

    def word(self, name: str) -> str:
        """The word of an option that is required or has a usual value."""
        return self._words[name]

    def flag(self, name: str) -> bool:
        """Whether a flag was set."""
        return self._numbers.get(name, 0.0) == 1.0

    def one_of(self, *names: str) -> str:
        """The one of these options that was given. Raises WrongOptions for none or more."""
        found = [name for name in names if name in self.given]
        if len(found) != 1:
            raise WrongOptions(f"{self.what} needs {' or '.join(['{}'] * len(names))}, just one of them", *names)
        return found[0]

    def needs(self, name: str, because: str, *options: str) -> float:
        """The number of an option that others ask for, named at the `{}` of `because`. Raises WrongOptions."""
        value = self.maybe(name)
        if value is None:
            raise WrongOptions(f"{self.what} with {because} needs {{}} as well", *options, name)
        return value


def _word(option: Option, text: str) -> str:
    word = " ".join(text.casefold().split())
    if option.choices and word not in option.choices:
        raise Unreadable(f"{option.name} {text[:40]!r} is not known: it is one of {', '.join(option.choices)}")
    return word


def _flag(option: Option, text: str) -> bool:
    word = text.strip().casefold()
    if word not in YES | NO:
        raise Unreadable(f"{option.name} {text[:40]!r} is neither yes nor no")
    return word in YES
