"""A vessel out of a page of its daybook, and a guard's answer to one more entry."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Any

import pytest

from fermtui.daybook.head import Head, plan_from
from fermtui.daybook.kinds import entry_from
from fermtui.daybook.settings import Container, Settings
from fermtui.replay.facts import Facts
from fermtui.replay.replay import replay
from fermtui.replay.state import Measures
from fermtui.schedule.guards import Finding, cautions_for, check
from fermtui.wording.findings import finding_text

SETTINGS = Settings(
    zone=UTC,
    timezone="UTC",
    containers=(
        Container("Demijohn 1", 5.0),
        Container("Demijohn 2", 5.0),
        Container("Jug", 4.2),
        Container("Gallon", 3.785),
    ),
)
PLAN = """
volume_l = 4.0
gravity = 1.095
yeast = { demand = "medium", tolerance_abv = 14 }
"""


def _facts(page: str, plan: str, container: str | None) -> tuple[Facts, Head]:
    head = Head(name="Rowan", container=container, plan=plan_from(tomllib.loads(with_plan(plan))))
    lines = [line for line in page.strip().splitlines() if line.strip()]
    entries = [entry_from(f"e{at:03d}", tomllib.loads(f"e = {line.strip()}")["e"]) for at, line in enumerate(lines)]
    return replay(head, entries, Measures(containers=SETTINGS.capacities_l)), head


def with_plan(own_lines: str) -> str:
    """The usual plan with some of its lines replaced, or left out by their bare name."""
    own = {line.split("=")[0].strip(): line for line in own_lines.strip().splitlines() if line.strip()}
    usual = {line.split("=")[0].strip(): line for line in PLAN.strip().splitlines()}
    return "\n".join(line for line in {**usual, **own}.values() if "=" in line)


@pytest.fixture
def ask() -> Callable[..., tuple[Finding, ...]]:
    """ask(page, entry, now, plan=..., container=..., occupied=..., vessel=...) -> what speaks against it."""

    def asked(
        page: str, entry: str, now: str, *, plan: str = "", container: str | None = "Demijohn 1", **more: Any
    ) -> tuple[Finding, ...]:
        facts, head = _facts(page, plan, container)
        fields: Mapping[str, object] = tomllib.loads(f"e = {entry}")["e"]
        found = check(str(fields["did"]), fields, facts, head.plan, SETTINGS, datetime.fromisoformat(now), **more)
        for finding in found:
            text = finding_text(finding)
            assert "None" not in text
            assert "{" not in text
            assert text.endswith(".")
            assert text.count(". ") <= 2
        return found

    return asked


@pytest.fixture
def moments() -> Callable[..., tuple[str, ...]]:
    """moments(page, entry, now, plan=...) -> the cautions that are shown with the entry."""

    def shown(page: str, entry: str, now: str, *, plan: str = "") -> tuple[str, ...]:
        facts, head = _facts(page, plan, "Demijohn 1")
        fields: Mapping[str, object] = tomllib.loads(f"e = {entry}")["e"]
        return cautions_for(str(fields["did"]), fields, facts, head.plan, datetime.fromisoformat(now))

    return shown
