"""Putting a vessel away and bringing it back: the whole folder in one rename."""

from __future__ import annotations

import os

from fermtui.daybook.append import locked
from fermtui.daybook.files import NotWritten, UnreadableFile, confirm, why_not
from fermtui.daybook.places import PAST, VESSELS, Cellar, real_place
from fermtui.daybook.vessel_bytes import vessel_folder


def move_to_past(cellar: Cellar, name: str) -> str:
    """Put a vessel away; returns its name there (with a number behind it when the name is taken). Raises NotWritten."""
    return _move(cellar, name, VESSELS, PAST)


def bring_back(cellar: Cellar, name: str) -> str:
    """Bring a vessel back to work; returns its name there. Raises NotWritten."""
    return _move(cellar, name, PAST, VESSELS)


def free_name(cellar: Cellar, name: str, place: str) -> str:
    """`name`, or `name-2` and so on: the first that is free in that place."""
    candidate, number = name, 2
    while os.path.lexists(cellar.path / place / candidate):
        candidate, number = f"{name}-{number}", number + 1
    return candidate


def _move(cellar: Cellar, name: str, source: str, target: str) -> str:
    with locked(cellar):
        try:
            for place in (source, target):
                real_place(cellar, place)
            folder = vessel_folder(cellar, name, source)
            (cellar.path / target).mkdir(exist_ok=True)
            free = free_name(cellar, name, target)
            folder.rename(cellar.path / target / free)
        except NotWritten:
            raise
        except UnreadableFile as fault:
            raise NotWritten(f"{name} was not moved: {fault}") from fault
        except OSError as fault:
            raise NotWritten(f"{name} was not moved: {why_not(fault)}") from fault
        confirm(f"{name} was moved to {target}/{free}", cellar.path / source, cellar.path / target)
    return free
