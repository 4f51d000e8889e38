"""Pages of a daybook as the tests of the story write them, and what they say."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fermtui.daybook.head import head_from
from fermtui.daybook.lines import read_lines
from fermtui.daybook.strikes import live
from fermtui.replay.facts import Facts
from fermtui.replay.present import Present, present
from fermtui.replay.replay import replay
from fermtui.replay.state import Measures

BERLIN = ZoneInfo("Europe/Berlin")


MEAD: dict[str, Any] = {"name": "Test", "capacity_l": 5.0, "plan": {"volume_l": 4.2, "gravity": 1.095}}


def entries(page: str) -> tuple[Any, ...]:
    """The live entries of a page that is written without keys: `01T18:00 did...` in March 2026."""
    lines = [line.strip() for line in page.strip().splitlines()]
    found, problems = read_lines(
        "\n".join(
            line
            if " = { at" in line
            else f"k{n:02d} = {{ at = 2026-03-{line.split(' ', 1)[0]}:00+01:00, did = {line.split(' ', 1)[1]} }}"
            for n, line in enumerate(lines)
        ).encode(),
        "daybook.toml",
    )
    assert problems == ()
    standing, _, faults = live(found)
    assert faults == ()
    return standing


def story(page: str, head: dict[str, Any] | None = None, **measures: Any) -> Facts:
    return replay(head_from(MEAD if head is None else head), entries(page), Measures(**measures))


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-03-{text}:00+01:00")


def stands(facts: Facts, when: str) -> Present:
    return present(facts, at(when), BERLIN)
