"""Short words for rows and lines of the screens. Whole reasons come from `wording`. No Textual."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from fermtui.cellar.store import VesselView, View
from fermtui.schedule.tasks import Task
from fermtui.tui.widgets.cells import Line
from fermtui.tui.widgets.headline import day_words
from fermtui.units import Units, show_gravity, show_number, show_temp, show_volume
from fermtui.wording.checklist import likely_text
from fermtui.wording.kinds import done_text
from fermtui.wording.plain import plain
from fermtui.wording.standing import unread_text
from fermtui.wording.tasks import reason_text, task_text

if TYPE_CHECKING:
    from fermtui.daybook.entries import Entry
    from fermtui.daybook.vessel_file import VesselFile
    from fermtui.writing import entries as acts
    from fermtui.writing.reading_check import InterpretedReading

SENTENCE = re.compile(r"(?<=[.!?:;]) +(?=[A-Z])")


def wrapped(text: str, role: str, width: int, lines: int = 2, indent: str = "  ") -> list[Line]:
    """A sentence broken at blanks into at most `lines` lines; two dots say that more was cut."""
    if not text:
        return []
    rows, row = list[str](), ""
    for word in text.split():
        if row and len(row) + 1 + len(word) > width - len(indent):
            rows.append(row)
            row = word
        else:
            row = f"{row} {word}" if row else word
    rows.append(row)
    if len(rows) > lines:
        rows = [*rows[: lines - 1], f"{rows[lines - 1][: width - len(indent) - 3]} .."]
    return [[(indent + row, role)] for row in rows]


def whole_sentences(text: str, role: str, width: int, lines: int, indent: str = "  ") -> list[Line]:
    """As many whole sentences as fit into `lines`: half a caution is none. Only the first may be cut."""
    kept = ""
    for sentence in SENTENCE.split(text):
        longer = f"{kept} {sentence}".strip()
        if kept and len(wrapped(longer, role, width, 99, indent)) > lines:
            break
        kept = longer
    return wrapped(kept, role, width, lines, indent) if lines > 0 else []


def said_lines(task: Task, width: int, lines: int) -> list[Line]:
    """What a schedule says beside a step: whole sentences."""
    return whole_sentences(plain(task.say or "", 300), "quiet", width, lines) if task.say else []


def since_words(at: datetime, now: datetime) -> str:
    """`since this morning` is too fine: today, yesterday, or a count of days."""
    days = (now.date() - at.date()).days
    return "since today" if days <= 0 else "since yesterday" if days == 1 else f"for {days} days"


def early_words(task: Task) -> str:
    """That a task is done ahead of its time, where it is."""
    if task.state == "coming" and task.likely is not None:
        when = f"{task.likely:%H:%M}" if not task.is_date and not task.forecast else ""
        return f"Not due yet: {' '.join(part for part in (span_words(task), when) if part)}. Done early is done."
    return "Not due yet: what it waits for has not come. Done early is done." if task.state == "waiting" else ""


def span_words(task: Task) -> str:
    """`Fri 27 Nov`, or `27 Nov to 30 Nov` where it is not sure."""
    window = task.window
    if window is None:
        return ""
    first, last = window.earliest.date(), (window.latest or window.likely).date()
    if first == last:
        return day_words(window.likely.date())
    open_end = "" if window.latest is not None else " or later"
    until = window.latest or window.likely
    if window.earliest.year != until.year:
        return f"{_short(window.earliest)} {window.earliest.year} to {_short(until)} {until.year}{open_end}"
    if window.earliest.month == until.month and not open_end:
        return f"{window.earliest.day} to {_short(until)}"
    return f"{_short(window.earliest)} to {_short(until)}{open_end}"


def _short(at: datetime) -> str:
    return day_words(at.date()).partition(" ")[2]


def trouble_words(seen: VesselView) -> str:
    """What is the matter, and how likely: `stalled (92 % likely)`."""
    found = seen.trouble_found
    if found is None:
        return ""
    return found.kind if found.chance is None else f"{found.kind} ({likely_text(found.chance)})"


def vessel_words(seen: VesselView, units: Units) -> str:
    """How a vessel stands, in one line."""
    parts = [plain(seen.name, 40), seen.stage + (f", {trouble_words(seen)}" if seen.trouble else "")]
    if seen.day is not None:
        parts.append(f"day {seen.day}")
    if seen.volume_l:
        place = f" in {plain(seen.facts.container, 20)}" if seen.facts.container else ""
        parts.append(f"{show_volume(seen.volume_l, units)}{place}")
    if seen.abv_percent is not None and seen.day is not None:
        parts.append(f"{show_number(seen.abv_percent, 1, units)} % vol")
    if unread := unread_text(seen):
        parts.insert(2, unread)
    return " · ".join(parts)


def understood_words(seen: InterpretedReading, units: Units) -> str:
    """What a typed reading means: gravity at 20 °C, strength, change, what it passes."""
    parts = []
    if seen.sg is not None:
        parts.append(f"{show_gravity(seen.sg, units, 4)} at 20 °C")
        if seen.after.abv_percent is not None and seen.after.day is not None:
            strength = show_number(seen.after.abv_percent, 1, units)
            parts.append(f"{strength} % ± {show_number(seen.after.abv_plus_minus or 0.0, 1, units)}")
        if seen.before is not None and seen.before.sg is not None:
            parts.append(_moved(seen.sg - seen.before.sg, seen.before.at, seen.at))
        parts += [f"{name} passed" for name in seen.passed]
    elif "temp_c" in seen.fields:
        parts.append(show_temp(float(seen.fields["temp_c"]), units))
    if "ph" in seen.fields:
        parts.append(f"pH {seen.fields['ph']}")
    if "free_so2_mg_per_l" in seen.fields:
        parts.append(f"free SO2 {seen.fields['free_so2_mg_per_l']} mg/L")
    return " · ".join(parts)


def _moved(change_sg: float, since: datetime, at: datetime) -> str:
    points, since = round(abs(change_sg) * 1000), since.astimezone(at.tzinfo)
    if since.date() == at.date():
        when = f"{since:%H:%M}"
    else:
        when = day_words(since.date()) if (at - since).days >= 7 else f"{since:%A}"
    if points == 0:
        return f"as at {when}" if since.date() == at.date() else f"as on {when}"
    return f"{'down' if change_sg < 0 else 'up'} {points} {'point' if points == 1 else 'points'} since {when}"


def task_words(task: Task) -> str:
    """What a task is called."""
    return task_text(task)


def reason_words(task: Task, view: View) -> str:
    """Why it stands where it stands, as one sentence that begins like one."""
    text = reason_text(task, view.settings, view.now)
    return text[:1].upper() + text[1:]


def pressing_words(task: Task, view: View) -> str:
    """Since when a task waits for the maker, or between which days it comes where that is not sure; else nothing."""
    if task.state in ("late", "due") and task.likely is not None:
        since = task.likely.astimezone(view.settings.zone)
        return "" if since.date() >= view.now.date() else since_words(since, view.now)
    if task.window is None or (task.latest and task.window.earliest.date() == task.latest.date()):
        return ""
    return span_words(task)


def entry_words(entry: Entry, units: Units) -> str:
    """One line of a daybook in a few words."""
    return done_text(entry.did, entry.written, units)


def written_words(done: acts.WrittenEntry, view: View) -> str:
    """What has just been written: the vessel and the entry."""
    seen = view.vessel(done.vessel)
    name = plain(seen.name if seen else done.vessel, 30)
    return f"{name}: {done_text(done.did, done.fields, view.settings.units)}"


def named_words(view: View, file: VesselFile, key: str) -> str:
    """An entry of a daybook with its vessel."""
    entry = next((one for one in file.entries if one.key == key), None)
    seen = view.vessel(file.name)
    name = plain(seen.name if seen else file.name, 30)
    return f"{name}: {entry_words(entry, view.settings.units)}" if entry else name


def lost_words(lost: Sequence[tuple[str, str]], view: View) -> str:
    """What was written in this sitting (vessel, line) and is in no daybook any more."""
    from fermtui.daybook.lines import entry_of_line

    vessel, line = lost[0]
    seen, entry = view.vessel(vessel), entry_of_line(line)
    name = plain(seen.name if seen else vessel, 30)
    more = f" and {len(lost) - 1} more" if len(lost) > 1 else ""
    said = f"{name}, {entry_words(entry, view.settings.units)}{more}"
    return f"an editor saved over {said}"


FIELD_WORDS = {
    "volume_l": ("volume", "4.2"), "honey_g": ("honey", "1200, or 1.2kg"),
    "honey_moisture_percent": ("honey's moisture", "17.1"),
    "water_l": ("water", "3.3"), "juice_l": ("juice", "2"), "juice_sg": ("gravity of the juice", "1.050"),
    "yeast": ("yeast", "the name you know it by"), "yeast_g": ("yeast", "2.5"), "temp_c": ("temperature", "20, or 68F"),
    "dap_g": ("DAP", "0.7"), "autolysate_g": ("autolysate", "1.8"), "complex_g": ("complex nutrient", "1.0"),
    "what": ("what", ""), "mass_g": ("mass", "500, or 1.1lb"), "kind": ("kind", "plum"),
    "treatment": ("treatment", "frozen"), "loss_l": ("lost with it", "0.2"), "into": ("into", "="),
    "with": ("with", "mead, water"),
    "sg": ("gravity", "1.042"), "brix": ("refractometer", "8.4"), "abv_percent": ("strength", "12"),
    "from": ("from vessel", "the name of its folder"), "hours": ("for", "24"),
    "metabisulfite_g": ("metabisulfite", "0.4"), "salt": ("salt", "potassium or sodium"), "ph": ("pH", "3.4"),
    "sorbate_g": ("potassium sorbate", "0.9"), "count": ("bottles", "5"), "size_ml": ("bottle size", "750"),
    "glass": ("glass", "still, sparkling or beer"), "closure": ("closure", "screw cap"),
    "priming_g": ("priming sugar", "25"), "priming_kind": ("priming with", "sucrose, dextrose or honey"),
    "left_l": ("left over", "0.3"), "look": ("look", "clear, gold"), "smell": ("smell", ""), "taste": ("taste", ""),
    "score": ("score", "14.5 of 20"), "why": ("why", "drunk, given or burst"), "text": ("note", ""),
}  # fmt: skip
TAKEN = "="
AFTER = {"rack": "volume after", "level": "volume measured"}
UNITS = {
    "_mg_per_l": "mg/L", "_l": "L", "_ml": "mL", "_g": "g", "_c": "°C", "hours": "h", "abv_percent": "% vol",
    "_percent": "%", "brix": "°Bx",
}  # fmt: skip
"""The unit of a bare number, by the end of the field's name; the first that fits."""


def taken(value: str) -> str:
    """What an empty field shows where something is taken in its place."""
    return f"{TAKEN} {value}"


def example(value: str) -> str:
    """What an empty field shows where nothing is taken: how it may be typed."""
    return f"e.g. {value}" if value else ""


def field_words(did: str, name: str) -> tuple[str, str]:
    """Label of a field in a form, and what an empty one shows: an example, or what is taken in its place."""
    label, like = FIELD_WORDS.get(name, (name.replace("_", " "), ""))
    if (did, name) == ("split", "into"):
        return label, example("a new vessel, or one at work")
    if name == "into":
        return label, taken("the same container")
    return (AFTER.get(did, label) if name == "volume_l" else label), example(like)


def unit_of(name: str) -> str:
    """The unit in which a bare number counts in that field; empty where it has none."""
    return next((unit for ending, unit in UNITS.items() if name.endswith(ending)), "")
