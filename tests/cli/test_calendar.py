"""The calendar file, read by a second parser written from the grammar of RFC 5545 and from nothing else."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import pytest

Cellar = Callable[[Mapping[str, str]], Path]

# --- a strict reader of RFC 5545: section 3.1 (lines), 3.3 (values), 3.6 (components) --------------------------------

NAME = re.compile(r"[A-Za-z0-9-]+")
DATE = re.compile(r"(\d{4})(\d{2})(\d{2})\Z")
UTC_TIME = re.compile(r"(\d{4})(\d{2})(\d{2})T([01]\d|2[0-3])([0-5]\d)([0-5]\d)Z\Z")
DURATION = re.compile(r"[+-]?P(?=[\dT])(\d+W|(\d+D)?(T(?=\d)(\d+H)?(\d+M)?(\d+S)?)?)\Z")
TEXT = {"SUMMARY", "DESCRIPTION", "CATEGORIES", "PRODID", "UID", "NAME", "COLOR"}
ONCE = {
    # RFC 7986: 5.1 NAME, 5.7 REFRESH-INTERVAL, 5.9 COLOR.
    "VCALENDAR": ({"PRODID", "VERSION"}, {"CALSCALE", "METHOD", "NAME", "COLOR", "REFRESH-INTERVAL"}),
    "VEVENT": (
        {"UID", "DTSTAMP", "DTSTART"},
        {"CREATED", "DESCRIPTION", "DTEND", "DURATION", "LAST-MODIFIED", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP"},
    ),
    "VALARM": ({"ACTION", "TRIGGER"}, {"DESCRIPTION"}),
}  # fmt: skip
MANY = {"VCALENDAR": set(), "VEVENT": {"CATEGORIES"}, "VALARM": set()}
INSIDE = {None: {"VCALENDAR"}, "VCALENDAR": {"VEVENT"}, "VEVENT": {"VALARM"}, "VALARM": set()}


class Line(NamedTuple):
    name: str
    params: dict[str, str]
    value: str


class Component(NamedTuple):
    kind: str
    lines: list[Line]
    parts: list[Component]

    def get(self, name: str) -> Line | None:
        return next((line for line in self.lines if line.name == name), None)

    def text(self, name: str) -> str:
        line = self.get(name)
        return "" if line is None else unescaped(line.value)


def unfolded(data: bytes) -> Iterator[str]:
    """3.1: lines end with CRLF and hold at most 75 octets without it; a blank at the beginning continues a line."""
    assert data.endswith(b"\r\n")
    physical = data[:-2].split(b"\r\n")
    joined: list[bytes] = []
    for raw in physical:
        assert len(raw) <= 75, raw
        assert b"\n" not in raw
        assert b"\r" not in raw
        raw.decode("utf-8")  # no sign is torn in two: readers that unfold after decoding stay whole
        if raw[:1] in (b" ", b"\t"):
            joined[-1] += raw[1:]
        else:
            assert raw, "an empty line is no content line"
            joined.append(raw)
    for line in joined:
        text = line.decode("utf-8")
        assert not re.search(r"[\x00-\x08\x0a-\x1f\x7f]", text), "control characters stand in no value"
        yield text


def content_line(text: str) -> Line:
    """3.1: name *(";" param) ":" value, a parameter value in quotes or without " ; : ,"."""
    name = NAME.match(text)
    assert name, text
    rest, params = text[name.end() :], {}
    while rest.startswith(";"):
        param = re.match(r';([A-Za-z0-9-]+)=("[^"\x00-\x1f]*"|[^";:,\x00-\x1f]*)', rest)
        assert param, text
        params[param[1].upper()] = param[2].strip('"')
        rest = rest[param.end() :]
    assert rest.startswith(":"), text
    return Line(name[0].upper(), params, rest[1:])


def component(lines: Iterator[Line], kind: str) -> Component:
    found = Component(kind, [], [])
    for line in lines:
        if line.name == "BEGIN":
            assert line.value in INSIDE[kind], f"{line.value} inside {kind}"
            found.parts.append(component(lines, line.value))
        elif line.name == "END":
            assert line.value == kind
            checked(found)
            return found
        else:
            found.lines.append(line)
    raise AssertionError(f"{kind} has no end")


def checked(one: Component) -> None:
    """3.6: what must stand once, what may stand once; values by their type."""
    needed, once = ONCE[one.kind]
    names = [line.name for line in one.lines]
    assert needed <= set(names), f"{one.kind} lacks {needed - set(names)}"
    assert set(names) <= needed | once | MANY[one.kind], names
    assert all(names.count(name) == 1 for name in needed | once if name in names), names
    for line in one.lines:
        value_fits(line)
    if one.kind == "VCALENDAR":
        assert one.text("VERSION") == "2.0"
        assert one.parts, "a calendar holds at least one component"
    if one.kind == "VEVENT":
        event_fits(one)
    if one.kind == "VALARM":
        assert one.text("ACTION") == "DISPLAY"
        assert "DESCRIPTION" in names


def value_fits(line: Line) -> None:
    if line.name == "REFRESH-INTERVAL":
        assert line.params == {"VALUE": "DURATION"}, line
        assert DURATION.match(line.value), line
    if line.name in TEXT:
        # 3.3.11: a backslash stands before \ ; , n only, and ; never stands alone; a comma parts CATEGORIES only.
        bare = re.sub(r"\\[\\;,nN]", "", line.value)
        assert "\\" not in bare, line
        assert ";" not in bare, line
        assert line.name == "CATEGORIES" or "," not in bare, line
    if line.name in ("DTSTAMP", "LAST-MODIFIED", "CREATED"):
        assert UTC_TIME.match(line.value), line
    if line.name in ("DTSTART", "DTEND"):
        instant(line)
    if line.name == "SEQUENCE":
        assert line.value.isdigit()
        assert int(line.value) < 2**31
    if line.name in ("DURATION", "TRIGGER"):
        assert DURATION.match(line.value), line
    if line.name == "STATUS":
        assert line.value in ("TENTATIVE", "CONFIRMED", "CANCELLED")
    if line.name == "TRANSP":
        assert line.value in ("OPAQUE", "TRANSPARENT")


def instant(line: Line) -> date:
    if line.params.get("VALUE") == "DATE":
        found = DATE.match(line.value)
        assert found, line
        return date(int(found[1]), int(found[2]), int(found[3]))
    found = UTC_TIME.match(line.value)
    assert found, f"{line} has neither a zone nor VALUE=DATE"
    year, month, day, hour, minute, second = (int(part) for part in found.groups())
    return datetime(year, month, day, hour, minute, second, tzinfo=UTC)


def event_fits(one: Component) -> None:
    start, end = one.get("DTSTART"), one.get("DTEND")
    assert start is not None
    assert not (end is not None and one.get("DURATION") is not None)
    if end is not None:
        assert end.params.get("VALUE") == start.params.get("VALUE")
        assert instant(end) > instant(start)


def unescaped(value: str) -> str:
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], value)


def read_calendar(data: bytes) -> Component:
    lines = (content_line(text) for text in unfolded(data))
    first = next(lines)
    assert (first.name, first.value) == ("BEGIN", "VCALENDAR")
    calendar = component(lines, "VCALENDAR")
    assert next(lines, None) is None, "something follows the calendar"
    uids = [event.text("UID") for event in calendar.parts]
    assert len(uids) == len(set(uids)), "a UID stands twice"
    return calendar


class Diary:
    """A calendar program: an event with a UID that it has is replaced when the newer SEQUENCE says so (RFC 5546)."""

    def __init__(self) -> None:
        self.events: dict[str, Component] = {}

    def take(self, data: bytes) -> None:
        for event in read_calendar(data).parts:
            uid, held = event.text("UID"), self.events.get(event.text("UID"))
            if held is None or revision(event) >= revision(held):
                self.events[uid] = event

    def day(self, uid: str) -> date:
        start = self.events[uid].get("DTSTART")
        assert start is not None
        return instant(start)


def revision(event: Component) -> tuple[int, str]:
    return int(event.text("SEQUENCE")), event.text("DTSTAMP")


# --- the cellar -------------------------------------------------------------------------------------------------------

HEAD = """
name = "Schlehe; süß, \\\\ \\u202e\\nBEGIN:VEVENT"
schedule = "two-doses"
[plan]
volume_l = 4.0
gravity = 1.095
"""
PITCHED = """
{ at = 2026-04-10T10:00:00+02:00, did = "mix", volume_l = 4.0 }
{ at = 2026-04-10T10:10:00+02:00, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-04-10T10:20:00+02:00, did = "pitch" }
"""
SLOWER = """
{ at = 2026-04-13T10:20:00+02:00, did = "dose", task = "dose-1", dap_g = 1 }
{ at = 2026-04-14T10:20:00+02:00, did = "postpone", task = "dose-2", until = 2026-04-18 }
"""


@pytest.fixture
def sloe(cellar: Cellar) -> Callable[[str], Path]:
    return lambda page: cellar({"vessels/sloe/vessel.toml": HEAD, "vessels/sloe/daybook.toml": page})


def file_on(fermtui: Any, day: str, tmp_path: Path) -> bytes:
    ran = fermtui("calendar", "--out", str(tmp_path / "mead.ics"), "--on", day)
    assert ran.status == 0
    return (tmp_path / "mead.ics").read_bytes()


def test_the_file_is_strict_rfc_5545_whatever_a_name_holds(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    calendar = read_calendar(file_on(fermtui, "2026-04-11", tmp_path))
    event = next(one for one in calendar.parts if one.text("UID") == "sloe.dose-1@fermtui")
    assert event.text("SUMMARY") == "Schlehe; süß, \\ \N{REPLACEMENT CHARACTER} BEGIN:VEVENT: dose 1 of 2"
    assert event.text("DTSTART") == "20260412"
    assert len(event.parts) == 1


def test_standard_output_gets_the_same_bytes(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    data = file_on(fermtui, "2026-04-11", tmp_path)
    assert fermtui("calendar", "--on", "2026-04-11").out.encode() == data


def test_imported_twice_nothing_doubles(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    diary = Diary()
    diary.take(file_on(fermtui, "2026-04-11", tmp_path))
    once = dict(diary.events)
    diary.take(file_on(fermtui, "2026-04-11", tmp_path))
    assert diary.events == once


def test_a_date_that_moves_moves_its_event(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    diary = Diary()
    diary.take(file_on(fermtui, "2026-04-11", tmp_path))
    before = revision(diary.events["sloe.dose-2@fermtui"])
    assert diary.day("sloe.dose-2@fermtui") == date(2026, 4, 15)
    count = len(diary.events)
    sloe(PITCHED + SLOWER)
    diary.take(file_on(fermtui, "2026-04-14T12:00:00+02:00", tmp_path))
    assert diary.day("sloe.dose-2@fermtui") == date(2026, 4, 18)
    assert diary.day("sloe.dose-1@fermtui") == date(2026, 4, 13)
    assert diary.events["sloe.dose-1@fermtui"].text("SUMMARY").startswith("done: ")
    assert diary.events["sloe.dose-1@fermtui"].text("STATUS") == "CANCELLED"
    assert not diary.events["sloe.dose-1@fermtui"].parts, "what is done rings no more"
    assert revision(diary.events["sloe.dose-2@fermtui"]) > before
    assert len(diary.events) >= count


def test_the_file_holds_what_is_to_come(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED + SLOWER)
    ran = fermtui("calendar", "--out", str(tmp_path / "mead.ics"), "--on", "2026-04-14T12:00:00+02:00")
    events = read_calendar((tmp_path / "mead.ics").read_bytes()).parts
    standing = [event for event in events if event.text("STATUS") != "CANCELLED"]
    assert ran.err == f"{len(standing)} events to come in {tmp_path / 'mead.ics'}\n"
    for event in standing:
        assert event.text("DTSTART")[:8] >= "20260414"
        assert not event.text("SUMMARY").startswith(("done", "left out"))
    # Two weeks later nobody needs to be told any more that a dose was given.
    later = read_calendar(file_on(fermtui, "2026-05-02", tmp_path)).parts
    assert "sloe.dose-1@fermtui" not in {event.text("UID") for event in later}


def written(fermtui: Any, tmp_path: Path, on: str, *words: str) -> Component:
    assert fermtui("calendar", "--out", str(tmp_path / "mead.ics"), "--on", on, *words).status == 0
    return read_calendar((tmp_path / "mead.ics").read_bytes())


def test_the_file_is_the_same_to_the_byte_while_nothing_changed(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    early = file_on(fermtui, "2026-04-11T13:00:00+02:00", tmp_path)
    assert file_on(fermtui, "2026-04-11T17:30:00+02:00", tmp_path) == early
    later = read_calendar(file_on(fermtui, "2026-04-11T22:00:00+02:00", tmp_path)).parts
    before = {event.text("UID"): event.lines for event in read_calendar(early).parts}
    changed = [event.text("UID") for event in later if before.get(event.text("UID")) not in (None, event.lines)]
    for event in later:  # what moved has a higher number, what did not has the same
        if (old := before.get(event.text("UID"))) is not None and event.text("UID") in changed:
            assert int(event.text("SEQUENCE")) > int(next(line.value for line in old if line.name == "SEQUENCE"))
    sloe(PITCHED + SLOWER)
    after = read_calendar(file_on(fermtui, "2026-04-14T12:00:00+02:00", tmp_path)).parts
    numbers = {uid: int(next(one.value for one in lines if one.name == "SEQUENCE")) for uid, lines in before.items()}
    assert any(int(event.text("SEQUENCE")) > numbers.get(event.text("UID"), 10**9) for event in after)


def test_it_holds_what_comes_within_the_days_asked_for(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)

    def last(*words: str) -> str:
        events = written(fermtui, tmp_path, "2026-04-11", *words).parts
        return max(event.text("DTSTART")[:8] for event in events)

    assert last("--days", "3") <= "20260414"
    assert last() <= "20260610"  # sixty days
    assert last("--days", "400") > "20260610"
    assert fermtui("calendar", "--days", "soon").status == 2


def test_one_vessel_can_be_asked_for(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    calendar = written(fermtui, tmp_path, "2026-04-11", "--vessel", "sloe")
    assert {event.text("UID").split(".")[0] for event in calendar.parts} == {"sloe"}
    ran = fermtui("calendar", "--vessel", "rowan", "--on", "2026-04-11")
    assert (ran.status, ran.out) == (1, "")
    assert "there is no vessel 'rowan'" in ran.err


def test_the_alarm_rings_when_asked_and_by_the_name_that_is_shown(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)

    def alarms(*words: str) -> list[Component]:
        events = written(fermtui, tmp_path, "2026-04-11", *words).parts
        return next(event for event in events if event.text("UID") == "sloe.dose-1@fermtui").parts

    (usual,) = alarms()
    assert usual.text("TRIGGER") == "PT9H"
    assert usual.text("DESCRIPTION").startswith("Schlehe")
    assert alarms("--alarm", "7")[0].text("TRIGGER") == "PT7H"
    assert alarms("--alarm", "none") == []
    for wrong in ("24", "noon", "-1"):
        assert fermtui("calendar", "--alarm", wrong).status == 2


def test_a_day_that_only_a_forecast_gives_rings_no_bell(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    events = written(fermtui, tmp_path, "2026-04-11", "--days", "365").parts
    tentative = [one for one in events if "earliest" in one.text("DESCRIPTION") and one.text("STATUS") == "TENTATIVE"]
    assert tentative
    assert all(one.parts == [] for one in tentative)


def test_a_program_is_told_how_it_is_called_and_when_to_look_again(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    calendar = written(fermtui, tmp_path, "2026-04-11")
    assert calendar.text("NAME") == "Mead: cellar"
    assert calendar.text("REFRESH-INTERVAL") == "PT1H"
    assert calendar.text("COLOR") == "goldenrod"  # a name of CSS 3, as RFC 7986 wants


def test_an_older_file_changes_nothing(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED + SLOWER)
    old = file_on(fermtui, "2026-04-11", tmp_path)
    new = file_on(fermtui, "2026-04-14T12:00:00+02:00", tmp_path)
    diary = Diary()
    diary.take(new)
    diary.take(old)
    assert diary.day("sloe.dose-2@fermtui") == date(2026, 4, 18)


def test_what_is_late_stands_on_today(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    diary = Diary()
    diary.take(file_on(fermtui, "2026-04-14T12:00:00+02:00", tmp_path))
    assert diary.day("sloe.dose-1@fermtui") == date(2026, 4, 14)
    assert diary.events["sloe.dose-1@fermtui"].text("SUMMARY").startswith("LATE: ")


def test_a_forecast_gives_its_range_in_the_text(cellar: Cellar, fermtui: Any, tmp_path: Path) -> None:
    page = PITCHED + "".join(
        f'{{ at = 2026-04-{day}T10:00:00+02:00, did = "read", sg = {sg}, temp_c = 20 }}\n'
        for day, sg in ((12, 1.090), (13, 1.080), (14, 1.070), (15, 1.061))
    )
    cellar({"vessels/sloe/vessel.toml": HEAD.replace("two-doses", "fruit-when-dry") + 'fruit = { kind = "plum" }',
            "vessels/sloe/daybook.toml": page})  # fmt: skip
    diary = Diary()
    diary.take(file_on(fermtui, "2026-04-15", tmp_path))
    event = diary.events["sloe.fruit@fermtui"]
    told = re.search(r"earliest (\S+), likely (\S+), (latest|no date)", event.text("DESCRIPTION"))
    assert told, event.text("DESCRIPTION")
    assert date.fromisoformat(told[1]) < date.fromisoformat(told[2]) == diary.day("sloe.fruit@fermtui")
    assert event.text("STATUS") == "TENTATIVE"
    assert event.parts == [], "a day that only a forecast gives rings no bell"


def test_what_was_put_away_is_called_off(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    folder = sloe(PITCHED)
    diary = Diary()
    diary.take(file_on(fermtui, "2026-04-11", tmp_path))
    (folder / "past").mkdir()
    (folder / "vessels/sloe").rename(folder / "past/sloe")
    (folder / "vessels/rowan").mkdir()
    (folder / "vessels/rowan/vessel.toml").write_text('name = "Rowan"\nschedule = "two-doses"\n')
    diary.take(file_on(fermtui, "2026-04-12", tmp_path))
    assert diary.events["sloe.dose-1@fermtui"].text("STATUS") == "CANCELLED"
    assert not diary.events["sloe.dose-1@fermtui"].parts


def test_nothing_dated_is_said_and_nothing_is_written(cellar: Cellar, fermtui: Any, tmp_path: Path) -> None:
    cellar({})
    ran = fermtui("calendar", "--out", str(tmp_path / "mead.ics"))
    assert ran.status == 1
    assert ran.err == "fermtui: no task has a date yet, so there is nothing to put into a calendar\n"
    assert not (tmp_path / "mead.ics").exists()


def test_a_folder_is_no_file(sloe: Any, fermtui: Any, tmp_path: Path) -> None:
    sloe(PITCHED)
    ran = fermtui("calendar", "--out", str(tmp_path), "--on", "2026-04-11")
    assert (ran.status, ran.err) == (1, f"fermtui: {tmp_path} is a folder: name a file in it\n")
    assert fermtui("calendar", "--out", str(tmp_path / "no/such.ics"), "--on", "2026-04-11").status == 1
    assert fermtui("calendar", "--json").status == 2


BEGUN = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260101T000000Z\r\n"


@pytest.mark.parametrize("broken", [
    b"BEGIN:VCALENDAR\nEND:VCALENDAR\n",
    b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n",
    b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:" + b"x" * 70 + b"\r\nEND:VCALENDAR\r\n",
    BEGUN + b"DTSTART:20260101T000000\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    BEGUN + b"DTSTART;VALUE=DATE:20260101\r\nSUMMARY:a, b\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
])  # fmt: skip
def test_the_second_parser_is_strict(broken: bytes) -> None:
    with pytest.raises(AssertionError):
        read_calendar(broken)


def test_the_second_parser_accepts_the_example_of_the_standard() -> None:
    """RFC 5545, after the example of section 3.4 and the PRODID of section 3.7.3."""
    example = (
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//ABC Corporation//NONSGML My Product//EN\r\nBEGIN:VEVENT\r\n"
        b"UID:19970610T172345Z-AF23B2@example.com\r\nDTSTAMP:19970610T172345Z\r\nDTSTART:19970714T170000Z\r\n"
        b"DTEND:19970715T040000Z\r\nSUMMARY:Party\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    (event,) = read_calendar(example).parts
    start, end = event.get("DTSTART"), event.get("DTEND")
    assert start is not None
    assert end is not None
    assert instant(end) - instant(start) == timedelta(hours=11)
