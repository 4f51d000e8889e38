"""The keys and the signs on one page, from the table of actions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from fermtui.reports.plot_cells import MARK
from fermtui.reports.runs import Run
from fermtui.tui.actions import ACTIONS, GROUPS, shown_keys
from fermtui.tui.screens.text_page import Sheet, TextPage
from fermtui.tui.widgets.cells import Line, PaintedText, fit
from fermtui.tui.widgets.track import ASCII_SIGN, ROLE, SIGN, today_cell, window_cell

KEYS_WIDE = 10
SIGN_WORDS = {"done": "done", "coming": "its day", "foreseen": "likely day", "due": "due", "late": "late"}


class Help(TextPage):
    """Shown by `?`; what leaves a page closes it, and so do `?` and Enter. It has the whole window for its lists."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark,enter", "dismiss", "close")]

    def __init__(self, changed: Mapping[str, str], *, ascii_only: bool) -> None:
        super().__init__("keys", "", lambda width: help_lines(changed, width, ascii_only=ascii_only))

    def compose(self) -> ComposeResult:
        with Sheet(id="sheet"):
            yield PaintedText(id="text")


def help_lines(changed: Mapping[str, str], width: int, *, ascii_only: bool) -> list[Line]:
    """The page as lines: two columns, whole sentences where there is room for them, and the signs below."""
    blocks = [_group(group, changed, width // 2) for group in GROUPS]
    left = [*blocks[0], [], *blocks[2]]
    right = [*blocks[1], [], *blocks[3]]
    rows: list[Line] = []
    for index in range(max(len(left), len(right))):
        one = list(left[index]) if index < len(left) else []
        gap = max(1, width // 2 - sum(len(text) for text, _ in one))
        rows.append([*one, (" " * gap, "ink"), *(right[index] if index < len(right) else [])])
    return [*rows, *_signs(width, ascii_only=ascii_only)]


def _group(group: str, changed: Mapping[str, str], width: int) -> list[Line]:
    lines: list[Line] = [[(f" {group}", "title")]]
    room = width - KEYS_WIDE - 2
    for action in ACTIONS:
        if action.group == group:
            words = action.says if len(action.says) <= room else action.label
            keys = fit(shown_keys(action, changed), KEYS_WIDE)
            lines.append([(f" {keys}", "key"), (fit(words, room).rstrip(), "ink")])
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
        lines[-1] += [sign, (f" {words}  ", "ink")]
    return [*lines]
