"""Text that came from files, made fit for any screen, terminal, calendar or table: shown literally, never obeyed."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

MOST = 500
_LINE_ENDS = {"\n", "\r", "\t", "\v", "\f", "\x1c", "\x1d", "\x1e", "\x85", "\u2028", "\u2029"}
# Bidirectional controls turn the order of a line around; zero-width ones hide text; both are shown as a mark.
_HIDDEN = frozenset(
    "\u061c\u200b\u200c\u200d\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2060\u2066\u2067\u2068\u2069\ufeff"
)
_MARK = "\N{REPLACEMENT CHARACTER}"


def plain(text: object, most: int = MOST) -> str:
    """One line of text without control, escape, bidi or surrogate characters, at most `most` characters.

    Line ends become a blank, anything else that would act on a terminal becomes a mark; longer text ends in '...'.
    Brackets are left as they are: whoever shows it must have markup switched off.
    """
    given = str(text)
    cut = given[: most + 1]
    shown = "".join(_fit(char) for char in cut)
    if len(given) > most:
        return (shown[: max(0, most - 3)].rstrip() + "...")[:most]
    return shown


def _fit(char: str) -> str:
    if char in _LINE_ENDS:
        return " "
    if char in _HIDDEN or unicodedata.category(char) in ("Cc", "Cs", "Co", "Cn", "Cf"):
        return _MARK
    return char


def cell(text: object, most: int = MOST) -> str:
    """Plain text for a table that a spreadsheet may open: no cell begins a formula."""
    shown = plain(text, most)
    return f"'{shown}" if shown.lstrip()[:1] in ("=", "+", "-", "@") else shown


def json_text(value: object) -> str:
    """One JSON document in a line. Texts keep every character, but none that acts on a terminal stands in it raw:
    JSON itself escapes only those below the blank. Raises ValueError for a number that is not finite.
    """
    import json

    written = json.dumps(value, ensure_ascii=False, allow_nan=False)
    return "".join(map(_escaped, written))


def _escaped(char: str) -> str:
    if char <= "~" or _fit(char) == char:
        return char
    halves = char.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{halves[at : at + 4]}" for at in range(0, len(halves), 4))


def nearest(typed: str, names: Iterable[str], before: str = "", after: str = "") -> str:
    """`did you mean due?` for a slip of the pen; empty where none of the names is near."""
    from difflib import get_close_matches  # only for what cannot be run

    near = get_close_matches(typed.casefold(), list(names), n=2, cutoff=0.6)
    return f"did you mean {' or '.join(f'{before}{name}{after}' for name in near)}?" if near else ""
