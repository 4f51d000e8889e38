"""TOML that people edit (heads, settings, schedules): parsed safely, with the line of what is wrong."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

BOM = b"\xef\xbb\xbf"
LINE_MOST = 4096  # bytes, with the line feed
FILE_MOST = 128 * 1024  # bytes; such a file has a few dozen lines
# Text, compiled at its first use: a start that finds all files known needs none of these.
_AT = r"\s*\(at line (\d+), column \d+\)$"
_AT_END = r"\s*\(at end of document\)$"
_HEADER = r"\s*\[\[?\s*([A-Za-z0-9_.\s-]+?)\s*\]\]?\s*(?:#.*)?$"
_NAME = r"\s*([A-Za-z0-9_-]+(?:\s*\.\s*[A-Za-z0-9_-]+)*)\s*="


class Malformed(ValueError):
    """Text that is no TOML; `line` counts from 1, None when the whole file is meant."""

    def __init__(self, line: int | None, reason: str) -> None:
        super().__init__(reason)
        self.line = line


def parse_toml(data: bytes) -> dict[str, Any]:
    """The table of a file; numbers with a point as Decimal. Raises Malformed with line and sentence."""
    for number, raw in enumerate(data.split(b"\n"), start=1):
        if len(raw) >= LINE_MOST:  # tomllib takes seconds for one long dotted key
            raise Malformed(number, f"the line has {len(raw)} bytes; {LINE_MOST - 1} are the most")
    try:
        text = data.removeprefix(BOM).decode("utf-8")
    except UnicodeDecodeError as fault:
        number = data.count(b"\n", 0, fault.start) + 1
        raise Malformed(number, "this is no UTF-8 text; save the file as UTF-8") from None
    import tomllib

    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as fault:
        raise _malformed(str(fault), text) from None
    except RecursionError:
        raise Malformed(None, "brackets are nested too deeply") from None
    except (ValueError, ArithmeticError):
        raise Malformed(None, "a number or a date is out of all bounds") from None


def _malformed(message: str, text: str) -> Malformed:
    at = re.search(_AT, message)
    if at:
        return Malformed(int(at[1]), f"this is no valid TOML: {re.sub(_AT, '', message)[:120]}")
    said = re.sub(_AT_END, "", message)[:120]
    return Malformed(text.count("\n") + 1, f"this is no valid TOML: {said} before the end")


def line_of_field(data: bytes, dotted: str) -> int | None:
    """The line on which a field such as `plan.fruit.mass_g` is given, or else the table around it, or None.

    In a list of tables the number of the table stands in the path: `container.1.capacity_l`.
    """
    return nearest(field_lines(data), dotted)


def nearest(lines: Mapping[str, int], dotted: str) -> int | None:
    """Of `field_lines` the line of this field, or of the nearest table around it."""
    while dotted and dotted not in lines:
        dotted = dotted.rpartition(".")[0]
    return lines.get(dotted)


def field_lines(data: bytes) -> dict[str, int]:
    """The line of every field and table that begins a line, by its dotted path; the first where a path comes twice."""
    found: dict[str, int] = {}
    table = ""
    seen: dict[str, int] = {}
    for number, raw in enumerate(data.removeprefix(BOM).split(b"\n"), start=1):
        line = raw.decode("utf-8", "replace").rstrip("\r")
        if header := re.match(_HEADER, line):
            name = _bare(header[1])
            found.setdefault(name, number)
            if line.lstrip().startswith("[["):
                seen[name] = seen.get(name, -1) + 1
                name = f"{name}.{seen[name]}"
                found.setdefault(name, number)
            table = f"{name}."
        elif field := re.match(_NAME, line):
            found.setdefault(f"{table}{_bare(field[1])}", number)
    return found


def _bare(dotted: str) -> str:
    return ".".join(part.strip() for part in dotted.split("."))
