"""Our two themes. Warm near-black and warm paper, one honey accent; every text colour above 4.5 : 1 on its ground."""

from __future__ import annotations

from dataclasses import replace

from textual.theme import Theme

DARK = Theme(
    name="cellar-dark",
    primary="#e0a93f",
    secondary="#8fa9a3",
    accent="#f0b848",
    warning="#f2a65a",
    error="#ff7a66",
    success="#a3bf7d",
    foreground="#e8e0d4",
    background="#151310",
    surface="#1c1915",
    panel="#302a20",
    dark=True,
    variables={
        "text-accent": "#f0b848",
        "text-primary": "#e0a93f",
        "text-secondary": "#9db8b1",
        "text-warning": "#f2a65a",
        "text-error": "#ff8370",
        "text-success": "#a9c683",
    },
)
LIGHT = Theme(
    name="cellar-light",
    primary="#8a5a00",
    secondary="#3f6660",
    accent="#8a5a00",
    warning="#9a4a00",
    error="#a8231a",
    success="#3d6b1f",
    foreground="#241f18",
    background="#fbf8f1",
    surface="#f3eee3",
    panel="#ebe2d0",
    dark=False,
    variables={
        "text-accent": "#8a5a00",
        "text-primary": "#8a5a00",
        "text-secondary": "#2f5f58",
        "text-warning": "#9a4a00",
        "text-error": "#b3261c",
        "text-success": "#3d6b1f",
    },
)
DEFAULT = DARK.name
FEW_COLOURS = frozenset({"standard", "windows"})
"""rich's names for terminals of 16 colours"""

# With 16 colours every brown becomes a yellow that nobody can read on white.
_FEW = {"text-accent": "#800080", "text-primary": "#800080", "text-warning": "#a3201a"}
LIGHT_OF_FEW_COLOURS = replace(LIGHT, variables={**LIGHT.variables, **_FEW})


def themes_for(colour_system: str | None) -> tuple[Theme, ...]:
    """Our themes for a terminal: `colour_system` as rich names it (truecolor, 256, standard, windows, None)."""
    return DARK, LIGHT_OF_FEW_COLOURS if colour_system in FEW_COLOURS else LIGHT
