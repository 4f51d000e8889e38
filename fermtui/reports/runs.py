"""Runs of cells: what pictures in characters are made of, on paper and on the screen."""

from __future__ import annotations

Run = tuple[str, str]
"""text and the role that colours it"""


def joined(cells: list[Run]) -> list[Run]:
    """Neighbouring cells of one role become one run: fewer bytes on a slow line."""
    runs: list[Run] = []
    for text, role in cells:
        if runs and runs[-1][1] == role:
            runs[-1] = (runs[-1][0] + text, role)
        else:
            runs.append((text, role))
    return runs
