"""What to look at when a vessel is in trouble, as a page."""

from __future__ import annotations

from fermtui.cellar.store import VesselView
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.widgets.lines import Line, wrapped
from fermtui.units import Units
from fermtui.wording.checklist import checklist, trouble_text
from fermtui.wording.plain import plain

LABEL = 14


def check_page(view: VesselView, units: Units) -> TextPage:
    """The check list of a vessel in trouble, or that nothing is the matter with it as far as the readings tell."""
    return TextPage(plain(view.name, 40), "what to look at", lambda width: check_lines(view, units, width))


def check_lines(view: VesselView, units: Units, width: int) -> list[Line]:
    """What was found with its chance, then point by point what is known, what helps and what to leave alone."""
    found = view.trouble_found
    if found is None:
        return wrapped("Nothing is the matter with it, as far as its readings tell.", "text", width)
    lines: list[Line] = wrapped(trouble_text(found, units), "warn", width, 3)
    for text in checklist(found, view.facts, view.head.plan, view.abv_percent, units):
        label, colon, rest = text.partition(": ")
        named = bool(colon) and len(label) < LABEL
        rows = wrapped(rest if named else text, "text", width, 4, indent=" " * (LABEL + 2))
        head = f"  {label if named else '':<{LABEL}}"
        lines += [[], [(head, "title"), *((run.lstrip(), role) for run, role in rows[0])], *rows[1:]]
    return lines
