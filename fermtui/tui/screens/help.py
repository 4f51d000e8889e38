"""The keys and the signs on one page, from the table of actions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen

from fermtui.reports.plot_cells import MARK
from fermtui.tui.actions import ACTIONS, GROUPS, shown_keys
from fermtui.tui.widgets.cells import Line, Run, Words, fit
from fermtui.tui.widgets.track import ASCII_SIGN, ROLE, SIGN, today_cell

KEYS_WIDE = 14
SIGN_WORDS = {"done": "done", "coming": "likely day of a step", "due": "due now", "late": "late"}


class Help(ModalScreen[None]):
    """Shown by `?`; any key that leaves closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,question_mark,enter,space", "dismiss", "close")]

    def __init__(self, changed: Mapping[str, str], *, ascii_only: bool) -> None:
        super().__init__()
        self.changed, self.ascii_only = changed, ascii_only

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="page"):
            yield Words(id="help")

    def on_mount(self) -> None:
        self._fill()

    def on_resize(self) -> None:
        self._fill()

    def _fill(self) -> None:
        lines = help_lines(self.changed, self.app.size.width - 2, ascii_only=self.ascii_only)
        words = self.query_one("#help", Words)
        words.styles.height = len(lines)
        words.show(lines)


def help_lines(changed: Mapping[str, str], width: int, *, ascii_only: bool) -> list[Line]:
    """The page as lines: two columns where there is room."""
    blocks = [_group(group, changed) for group in GROUPS] + [_signs(ascii_only=ascii_only)]
    if width < 96:
        return [line for block in blocks for line in [*block, []]]
    left, right = blocks[0] + [[]] + blocks[2] + [[]] + blocks[3], blocks[1] + [[]] + blocks[4]
    column = width // 2
    rows = []
    for index in range(max(len(left), len(right))):
        one = list(left[index]) if index < len(left) else []
        used = sum(len(text) for text, _ in one)
        rows.append([*one, (" " * max(1, column - used), "ink"), *(right[index] if index < len(right) else [])])
    return [*rows]


def _group(group: str, changed: Mapping[str, str]) -> list[Line]:
    lines: list[Line] = [[(f" {group}", "strong")]]
    for action in ACTIONS:
        if action.group == group:
            keys = shown_keys(action, changed)
            lines.append([(" " + fit(keys, KEYS_WIDE), "key"), (fit(action.says, 56).rstrip(), "ink")])
    return lines


def _signs(*, ascii_only: bool) -> list[Line]:
    signs = ASCII_SIGN if ascii_only else SIGN
    rows: list[tuple[Run, str]] = [((signs[kind], ROLE[kind]), words) for kind, words in SIGN_WORDS.items()]
    rows += [
        (("=" if ascii_only else "⠶", "band"), "between its earliest and latest day"),
        (today_cell(ascii_only=ascii_only), "today"),
        (("o" if ascii_only else "⠶", "reading"), "a reading"),
        (("x", "struck"), "a reading that was struck"),
        (("^" if ascii_only else MARK, "event"), "what was done, under the plot"),
    ]
    return [[(" the signs", "strong")], *([(" ", "ink"), sign, (f"   {words}", "ink")] for sign, words in rows)]
