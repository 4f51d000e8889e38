"""The keys and the signs on one page, from the table of actions."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import zip_longest
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.reports.plot_cells import MARK
from fermtui.reports.runs import Run
from fermtui.tui.actions import ACTIONS, BY_ID, GROUPS, HELP, SIDE, bindings, shown_keys
from fermtui.tui.screens.text_page import Sheet, TextPage
from fermtui.tui.widgets.lines import Line, fit
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.track import ASCII_SIGN, ROLE, SIGN, today_cell, window_cell

KEYS_WIDE = 10
PAIRS = {"down": "up", "first": "last"}
"""Two ways of one thing share a line: the page is to stand in 24 lines."""
SIGN_WORDS = {"done": "done", "coming": "its day", "foreseen": "likely day", "due": "due", "late": "late"}


class Help(TextPage):
    """Shown by `?`; what leaves a page closes it, and so do `?` and Enter. It has the whole window for its lists."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(HELP)

    def __init__(self, changed: Mapping[str, str], *, ascii_only: bool) -> None:
        super().__init__("keys", "", lambda width: help_lines(changed, width, ascii_only=ascii_only))

    def action_help(self) -> None:
        self.action_back()

    def action_open(self) -> None:
        self.action_back()

    def compose(self) -> ComposeResult:
        with Sheet(id="sheet"):
            yield PaintedText(id="text")


def help_lines(changed: Mapping[str, str], width: int, *, ascii_only: bool) -> list[Line]:
    """The page as lines: two columns of keys, whole sentences where they fit, the signs, then the keys of pages."""
    blocks = [_group(group, changed, width // 2) for group in GROUPS]
    one, other, third, fourth, (title, *side) = blocks
    half = (len(side) + 1) // 2
    rows = _beside([*one, *third], [*other, *fourth], width)
    more = _beside([title, *side[:half]], [[], *side[half:]], width)
    return [*rows, *_signs(width, ascii_only=ascii_only), [], *more]


def _beside(left: list[Line], right: list[Line], width: int) -> list[Line]:
    """Two columns."""
    rows: list[Line] = []
    for one, other in zip_longest(left, right, fillvalue=()):
        gap = max(1, width // 2 - sum(len(text) for text, _ in one))
        rows.append([*one, (" " * gap, "text"), *other])
    return rows


def _group(group: str, changed: Mapping[str, str], width: int) -> list[Line]:
    lines: list[Line] = [[(f" {group}", "title")]]
    room = width - KEYS_WIDE - 2
    for action in ACTIONS:
        if action.group == group and action.id not in PAIRS.values():
            words = action.says if len(action.says) <= room else action.label
            keys = shown_keys(action, changed, first_only=group == SIDE)
            if action.id in PAIRS:
                other = BY_ID[PAIRS[action.id]]
                words = f"{action.says}, {other.says}"
                words = words if len(words) <= room else f"{action.label}, {other.label}"
                keys = " ".join(shown_keys(one, changed, first_only=True) for one in (action, other))
            keys = fit(keys, KEYS_WIDE)
            lines.append([(f" {keys}", "key"), (fit(words, room).rstrip(), "text")])
    return lines


def _signs(width: int, *, ascii_only: bool) -> list[Line]:
    """The signs, as many in a line as fit."""
    signs = ASCII_SIGN if ascii_only else SIGN
    entries: list[tuple[Run, str]] = [((signs[kind], ROLE[kind]), words) for kind, words in SIGN_WORDS.items()]
    entries += [
        (window_cell(ascii_only=ascii_only), "first to last day"),
        (today_cell(ascii_only=ascii_only), "today"),
        (("o" if ascii_only else "⠛", "reading"), "reading"),
        (("x", "struck"), "struck, left out"),
        (("^" if ascii_only else MARK, "event"), "was done"),
    ]
    lines: list[list[Run]] = [[(" signs  ", "title")]]
    for sign, words in entries:
        if sum(len(text) for text, _ in lines[-1]) + len(words) + 4 > width:
            lines.append([(" " * 8, "title")])
        lines[-1] += [sign, (f" {words}  ", "text")]
    return [*lines]
