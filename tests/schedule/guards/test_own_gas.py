"""Bottled with sugar of its own: only where glass and closure bear all that may still come, in a room of 30 °C.

What sugar makes: Weiss 1974, as in tables/co2.csv; lines of glass: tables/glass.csv. By them 6 bar at 30 °C are 14 g/L
and 3 bar are 6.6; two errors of a reading in steps of 0.001 are 5 g/L, at 2.5 g/L a point.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fermtui.must.bottles import pressure_bar_excess
from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]
NOW = "2026-03-14T13:00:00Z"
TEST = '{ at = 2026-03-13T12:00:00Z, did = "forced_test", sg = 0.996, days = 4, temp_c = 25 }\n'
PAGE = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.045, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
{ at = 2026-03-10T12:00:00Z, did = "read", sg = 1.008, temp_c = 20 }
"""
FRUIT = '{ at = 2026-03-13T11:00:00Z, did = "fruit", kind = "plum", mass_g = 500 }\n'


def page(sg: float, more: str = TEST) -> str:
    return PAGE + more + f'{{ at = 2026-03-14T12:00:00Z, did = "read", sg = {sg}, temp_c = 20 }}\n'


def bottle(glass: str, closure: str = "crown cap", priming_g: float = 0.0) -> str:
    primed = f", priming_g = {priming_g}" if priming_g else ""
    return f'{{ did = "bottle", count = 4, size_ml = 750, glass = "{glass}", closure = "{closure}"{primed} }}'


def keys(found: tuple[Finding, ...]) -> list[str]:
    return [finding.key for finding in found if finding.kind == "refusal"]


def test_the_lines_of_this_page() -> None:
    assert pressure_bar_excess(14.0, 30.0, bottle_ml=750) == pytest.approx(6.0, abs=0.05)
    assert pressure_bar_excess(6.6, 30.0, bottle_ml=750) == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize(
    ("sg", "glass", "refused"),
    [
        (0.9995, "sparkling", []),  # 8.75 g/L and 5
        (1.0000, "sparkling", ["bottle_unstable"]),  # 10 g/L and 5
        (0.9965, "beer", []),  # 1.25 g/L and 5
        (0.9975, "beer", ["bottle_unstable"]),  # 3.75 g/L and 5
        (0.9965, "still", ["bottle_unstable"]),
    ],
)
def test_it_need_not_have_stopped_where_the_glass_bears_the_rest(
    ask: Ask, sg: float, glass: str, refused: list[str]
) -> None:
    assert keys(ask(page(sg), bottle(glass), NOW, plan="gravity = 1.045")) == refused


def test_without_a_forced_test_the_lowest_plausible_end_counts(ask: Ask) -> None:
    # 0.9995 of 1.045 may go on to about 0.992: too much.
    assert keys(ask(page(0.9995, ""), bottle("sparkling"), NOW, plan="gravity = 1.045")) == ["bottle_unstable"]
    assert keys(ask(page(0.9940, ""), bottle("sparkling"), NOW, plan="gravity = 1.045")) == []


def test_not_with_priming_on_top(ask: Ask) -> None:
    found = ask(page(0.9975), bottle("sparkling", priming_g=2.0), NOW, plan="gravity = 1.045")
    assert "bottle_unstable" in keys(found)


def test_not_while_fruit_gives_its_sugar(ask: Ask) -> None:
    found = ask(page(0.9975, FRUIT + TEST), bottle("sparkling"), NOW, plan="gravity = 1.045")
    assert keys(found) == ["bottle_unstable"]


def test_the_closure_has_to_hold_it_too(ask: Ask) -> None:
    (finding,) = ask(page(0.9985), bottle("sparkling", "screw cap"), NOW, plan="gravity = 1.045")
    assert finding.key == "closure_of_pressure"
    assert finding_text(finding).startswith("Screw cap on sparkling glass with gas to come")


@pytest.mark.parametrize(("sg", "glass", "told"), [
    (0.9985, "sparkling", ("sparkling",)),
    (0.9965, "beer", ("sparkling",)),
    (1.0030, "sparkling", ("bottle_unstable", "sparkling")),
])  # fmt: skip
def test_the_caution_is_that_of_gas_and_not_of_a_mead_that_goes_on(
    moments: Callable[..., tuple[str, ...]], sg: float, glass: str, told: tuple[str, ...]
) -> None:
    assert moments(page(sg), bottle(glass), NOW, plan="gravity = 1.045") == told


def test_bottles_that_hold_their_gas_stand_on_no_list() -> None:
    from datetime import UTC

    from fermtui.daybook.head import Head, plan_from
    from fermtui.daybook.kinds import entry_from
    from fermtui.daybook.settings import Settings
    from fermtui.replay.state import Measures
    from fermtui.schedule.standing import judged

    def standing(glass: str) -> list[str]:
        import tomllib

        lines = [line for line in page(0.9985).strip().splitlines() if line]
        lines.append(bottle(glass).replace("{ ", "{ at = 2026-03-14T13:00:00Z, ", 1))
        entries = [entry_from(f"e{at:02d}", tomllib.loads(f"e = {line}")["e"]) for at, line in enumerate(lines)]
        head = Head(name="Rowan", plan=plan_from({"volume_l": 4.0, "gravity": 1.045}))
        settings = Settings(zone=UTC, timezone="UTC")
        return [one.kind for one in judged(head, entries, Measures(), settings, "rowan").standing]

    assert standing("sparkling") == []
    assert standing("still") == ["live_bottles"]
