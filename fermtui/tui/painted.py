"""An app whose text roles are looked up in one place, once a theme.

They are component classes of the app and not of each widget: Textual would style every one of them for every widget
before the first picture.
"""

from __future__ import annotations

from typing import ClassVar, TypeVar

from rich.style import Style
from textual.app import App

from fermtui.tui.ended import end_by_signals
from fermtui.tui.themes import DEFAULT, FEW_COLOURS, themes_for

ROLES = (
    "text", "strong", "quiet", "accent", "late", "due", "warn", "good", "title", "key",
    "axis", "grid", "band", "likely", "target", "today", "struck", "reading", "event",
)  # fmt: skip

Result = TypeVar("Result")


class Painted(App[Result]):
    """Gives the style of a role to the painted widgets."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"cells--{role}" for role in (*ROLES, "cursor", "cursor-idle")}
    DEFAULT_CSS = """
    Painted {
        & > .cells--text { color: $text; }
        & > .cells--strong { color: $text; text-style: bold; }
        & > .cells--quiet { color: $text-muted; }
        & > .cells--accent { color: $text-accent; }
        & > .cells--late { color: $text-error; text-style: bold; }
        & > .cells--due { color: $text-accent; text-style: bold; }
        & > .cells--warn { color: $text-warning; text-style: bold; }
        & > .cells--good { color: $text-success; }
        & > .cells--title { color: $text-muted; }
        & > .cells--key { color: $text-accent; text-style: bold; }
        & > .cells--axis { color: $text-muted; }
        & > .cells--grid { color: $text-muted; text-style: dim; }
        & > .cells--band { color: $text-muted; }
        & > .cells--likely { color: $text; }
        & > .cells--target { color: $text-secondary; }
        & > .cells--today { color: $text; text-style: bold; }
        & > .cells--struck { color: $text-muted; text-style: dim; }
        & > .cells--reading { color: $text-accent; text-style: bold; }
        & > .cells--event { color: $text; }
        & > .cells--cursor { background: $panel; text-style: bold; }
        & > .cells--cursor-idle { text-style: none; }
        &:ansi > .cells--quiet, &:ansi > .cells--axis, &:ansi > .cells--title { text-style: dim; }
        &:ansi > .cells--band { text-style: dim; }
        &:ansi > .cells--late, &:ansi > .cells--warn { color: ansi_red; }
        &:ansi > .cells--due, &:ansi > .cells--accent, &:ansi > .cells--key, &:ansi > .cells--reading {
            color: ansi_yellow;
        }
        &:ansi:light > .cells--due, &:ansi:light > .cells--accent, &:ansi:light > .cells--key,
        &:ansi:light > .cells--reading { color: ansi_magenta; }
        &:ansi > .cells--cursor, &.-few-colours > .cells--cursor { text-style: bold reverse; }
    }
    """

    def on_load(self) -> None:
        """Before the terminal is taken over: a signal that ends the program gives it back first."""
        if not self.is_headless:
            end_by_signals(self.end_by)

    def end_by(self, number: int) -> None:
        """Leave because of a signal; the exit status is the shell's for it."""
        self.exit(return_code=128 + number)

    def dress(self, theme: str | None) -> None:
        """Before the app runs: our own themes, and the wanted one if there is such a theme."""
        self.set_class(self.console.color_system in FEW_COLOURS, "-few-colours")  # no ground is left for a cursor
        for own in themes_for(self.console.color_system):
            self.register_theme(own)
        name = theme if theme in self.available_themes else DEFAULT
        if self.available_themes[name].ansi:
            self.theme = name
            return
        # Setting the theme as usual would parse and apply every style a second time before the first picture.
        self.set_reactive(App.theme, name)
        self.stylesheet.set_variables(self.get_css_variables())

    def role_style(self, role: str) -> Style:
        """The style of a role in the theme of now. A cursor has no colour of its own, only its ground."""
        key = (self.theme, role)
        if key not in self._role_styles:
            try:
                styles = self.get_component_styles(f"cells--{role}")
            except KeyError:  # a window that begins too small is drawn before the style sheet is applied
                return Style()
            self._role_styles[key] = styles.partial_rich_style if role.startswith("cursor") else styles.rich_style
        return self._role_styles[key]

    def __init__(self) -> None:
        super().__init__()
        self._role_styles: dict[tuple[str, str], Style] = {}
