"""The cautions that belong to a moment: short, with what to do, and where they come from. Local law goes first."""

from functools import cache
from typing import Literal, NamedTuple, get_args

from fermtui.must.csv_tables import open_table

Moment = Literal[
    "plan",
    "first_start",
    "later_start",
    "small_room",
    "dose",
    "late_dose",
    "fruit",
    "fruit_heat",
    "high_ph",
    "sulfite",
    "sorbate",
    "no_activity",
    "sweeten",
    "filter",
    "bottle_unstable",
    "sparkling",
    "filling",
    "hot_store",
    "drink",
    "bench_work",
]
MOMENTS: tuple[Moment, ...] = get_args(Moment)


class Caution(NamedTuple):
    """One caution: a stable key, one to three sentences, and the basis of them."""

    key: str
    text: str
    basis: str


def cautions(moment: Moment) -> tuple[Caution, ...]:
    """Return the cautions of a moment, in the order in which they are shown; at least one for each of MOMENTS.

    Raises KeyError for any other word: a mistyped moment must not silence a caution.
    """
    return _by_moment()[moment]


@cache
def way_out(way: str) -> str:
    """Return the advice for a way out of `preservatives.WaysOut`. Raises KeyError for an unknown one."""
    return {str(way["key"]): str(way["text"]) for way in _table()["way"]}[way]


@cache
def _by_moment() -> dict[str, tuple[Caution, ...]]:
    found: dict[str, list[Caution]] = {}
    for entry in _table()["caution"]:
        found.setdefault(entry["moment"], []).append(Caution(entry["key"], entry["text"], entry["basis"]))
    return {moment: tuple(of_it) for moment, of_it in found.items()}


@cache
def _table() -> dict[str, list[dict[str, str]]]:
    import tomllib

    with open_table("cautions.toml") as file:
        return tomllib.load(file)
