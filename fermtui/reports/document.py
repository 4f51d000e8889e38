"""A printed page: titled parts, as text for a terminal or a printer, or as Markdown. Knows nothing of mead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import NamedTuple

WIDTH = 78
_MEANS_SOMETHING = re.compile(r"([\\`*_{}\[\]<>#|~&!])")
_BEGINS_A_LIST = re.compile(r"^(\s*\d*)((?<!\d)[-+=]|(?<=\d)[.)])(?=\s|$)")


class Pairs(NamedTuple):
    """Label and value under each other."""

    rows: Sequence[tuple[str, str]]


class Table(NamedTuple):
    """Columns with a heading each; the last one may be long."""

    head: Sequence[str]
    rows: Sequence[Sequence[str]]


class Block(NamedTuple):
    """Lines that keep their shape, as a plot does."""

    lines: Sequence[str]


class Points(NamedTuple):
    """Sentences, one point each."""

    texts: Sequence[str]


Part = Pairs | Table | Block | Points


class Section(NamedTuple):
    """A part under its title."""

    title: str
    part: Part


def text_lines(title: str, sections: Iterable[Section], width: int = WIDTH) -> list[str]:
    """The page as text of that width; only tables and blocks whose cells ask for more are wider."""
    lines = [title, "=" * min(len(title), width)]
    for section in sections:
        lines += ["", section.title, *(f"  {line}".rstrip() for line in _text(section.part, width - 2))]
    return lines


def _text(part: Part, width: int) -> list[str]:
    if isinstance(part, Block):
        return list(part.lines)
    if isinstance(part, Points):
        return [line for text in part.texts for line in wrap(text, width, initial_indent="- ", subsequent_indent="  ")]
    if isinstance(part, Pairs):
        wide = max((len(label) for label, _ in part.rows), default=0)
        return [line for label, value in part.rows for line in _hanging(f"{label:<{wide}}  ", value, width)]
    return _table_text(part, width)


def _table_text(table: Table, width: int) -> list[str]:
    rows = [table.head, *table.rows]
    wide = [max(len(row[at]) for row in rows) for at in range(len(table.head) - 1)]
    lines = []
    for row in rows:
        before = "".join(f"{cell:<{size}}  " for cell, size in zip(row, wide, strict=False))
        lines += _hanging(before, row[-1], width)
    return lines


def _hanging(before: str, text: str, width: int) -> list[str]:
    room = max(20, width - len(before))
    parts = wrap(text, room) or [""]
    return [(before if not at else " " * len(before)) + part for at, part in enumerate(parts)]


def markdown_lines(title: str, sections: Iterable[Section]) -> list[str]:
    """The page as Markdown; text from files is shown literally."""
    lines = [f"# {literal(title)}"]
    for section in sections:
        lines += ["", f"## {literal(section.title)}", "", *_markdown(section.part)]
    return lines


def _markdown(part: Part) -> list[str]:
    if isinstance(part, Block):
        return [f"    {line}".rstrip() for line in part.lines]
    if isinstance(part, Points):
        return [f"- {literal(text)}" for text in part.texts]
    head, rows = (part.head, part.rows) if isinstance(part, Table) else (("", ""), part.rows)
    return [_row(head), _row(["---"] * len(head), plainly=True), *(_row(row) for row in rows)]


def _row(cells: Sequence[str], *, plainly: bool = False) -> str:
    return "| " + " | ".join(cell if plainly else literal(cell) for cell in cells) + " |"


def literal(text: str) -> str:
    """Text in which no sign means anything to Markdown or HTML."""
    return _BEGINS_A_LIST.sub(r"\1\\\2", _MEANS_SOMETHING.sub(r"\\\1", text))
