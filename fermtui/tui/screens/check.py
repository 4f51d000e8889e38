"""What to look at when a vessel is in trouble, as a page."""

from __future__ import annotations

from fermtui.cellar.store import VesselView
from fermtui.tui.screens.text_page import Page
from fermtui.tui.widgets.cells import Line
from fermtui.tui.words import wrapped
from fermtui.units import Units
from fermtui.wording.checklist import checklist, trouble_text
from fermtui.wording.plain import plain

LABEL = 14


def check_page(seen: VesselView, units: Units) -> Page:
    """The check list of a vessel in trouble, or that nothing is the matter with it as far as the readings tell."""
    return Page(plain(seen.name, 40), "what to look at", lambda width: check_lines(seen, units, width))


def check_lines(seen: VesselView, units: Units, width: int) -> list[Line]:
    """What was found with its chance, then point by point what is known, what helps and what to leave alone."""
    found = seen.trouble_found
    if found is None:
        return wrapped("Nothing is the matter with it, as far as its readings tell.", "ink", width)
    lines: list[Line] = wrapped(trouble_text(found, units), "warn", width, 3)
    for text in checklist(found, seen.facts, seen.head.plan, seen.abv_percent, units):
        label, colon, rest = text.partition(": ")
        named = bool(colon) and len(label) < LABEL
        rows = wrapped(rest if named else text, "ink", width, 4, indent=" " * (LABEL + 2))
        head = f"  {label if named else '':<{LABEL}}"
        lines += [[], [(head, "title"), *((run.lstrip(), role) for run, role in rows[0])], *rows[1:]]
    return lines
