"""One vessel's two files as records."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from fermtui.daybook.entry import Entry
from fermtui.daybook.fields import Unfit
from fermtui.daybook.head import Head, head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.places import DAYBOOK, HEAD, VESSELS, Cellar
from fermtui.daybook.problem import Problem
from fermtui.daybook.strikes import live
from fermtui.daybook.toml_file import Malformed, line_of_field, parse_toml
from fermtui.daybook.vessel_bytes import VesselBytes, vessel_bytes


class VesselFile(NamedTuple):
    """A vessel as it is written down.

    `entries` are all good entries in their order, strikes and struck ones among them; `live` those that stand;
    `struck` the key of each struck entry with the key of its strike. `problems` hold everything wrong with the two
    files, strikes included. `head` is None when there is none that can be read.
    """

    name: str
    place: str
    head: Head | None
    entries: tuple[Entry, ...]
    live: tuple[Entry, ...]
    struck: Mapping[str, str]
    problems: tuple[Problem, ...]
    digest: str


def parse_vessel(files: VesselBytes) -> VesselFile:
    """The records of a vessel's files; everything wrong becomes a problem."""
    where = f"{files.place}/{files.name}"
    head, head_problems = read_head(files.head, f"{where}/{HEAD}")
    entries, line_problems = read_lines(files.daybook, f"{where}/{DAYBOOK}")
    standing, struck, strike_problems = live(entries, f"{where}/{DAYBOOK}", files.daybook)
    problems = files.problems + head_problems + line_problems + strike_problems
    return VesselFile(files.name, files.place, head, entries, standing, struck, problems, files.digest)


def read_vessel(cellar: Cellar, name: str, place: str = VESSELS) -> VesselFile:
    """Read and parse one vessel; never raises for what is on the disk."""
    return parse_vessel(vessel_bytes(cellar, name, place))


def read_head(data: bytes | None, path: str) -> tuple[Head | None, tuple[Problem, ...]]:
    """The head in these bytes, or a problem with the line of the field at fault. None stays None."""
    if data is None:
        return None, ()
    try:
        return head_from(parse_toml(data)), ()
    except Malformed as fault:
        return None, (Problem("head", path, fault.line, (str(fault),)),)
    except Unfit as fault:
        return None, (Problem("head", path, line_of_field(data, fault.field), (str(fault),)),)
