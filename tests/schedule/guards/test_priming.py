"""Sparkling bottles. Lines of glass: tables/glass.csv; what sugar makes: Weiss 1974."""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

DRY = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
{ at = 2026-03-20T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-23T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-27T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
"""
KEPT = (
    DRY
    + """
{ at = 2026-03-28T10:00:00Z, did = "rack", volume_l = 3.8 }
{ at = 2026-03-28T11:00:00Z, did = "sulfite", metabisulfite_g = 0.2, ph = 3.4 }
{ at = 2026-03-28T12:00:00Z, did = "sorbate", sorbate_g = 0.6, ph = 3.4 }
{ at = 2026-03-31T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-04-04T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
"""
)
NOW = "2026-03-28T12:00:00Z"


def bottle(glass: str, priming_g: float, closure: str = "crown cap", kind: str = "sucrose") -> str:
    return (
        f'{{ did = "bottle", count = 4, size_ml = 750, glass = "{glass}", closure = "{closure}", '
        f'priming_g = {priming_g}, priming_kind = "{kind}" }}'
    )


def keys(found: tuple[Finding, ...]) -> list[tuple[str, str]]:
    return [(finding.kind, finding.key) for finding in found]


def test_primed_beer_glass_of_a_still_dry_mead_is_free(ask: Ask) -> None:
    assert ask(DRY, bottle("beer", 18), NOW) == ()
    assert ask(DRY, bottle("sparkling", 40, "wired cork"), NOW) == ()


def test_priming_in_still_glass_is_refused(ask: Ask) -> None:
    (finding,) = ask(DRY, bottle("still", 18), NOW)
    assert (finding.kind, finding.key) == ("refusal", "priming_in_still_glass")
    assert "18.0 g of priming in still glass" in finding_text(finding)
    assert "0.5 bar" in finding_text(finding)
    assert keys(ask(DRY, '{ did = "bottle", priming_g = 18 }', NOW)) == [("refusal", "priming_in_still_glass")]
    assert ask(DRY, bottle("still", 0), NOW) == ()


def test_priming_after_sorbate_is_refused(ask: Ask) -> None:
    (finding,) = ask(KEPT, bottle("beer", 18), "2026-04-04T13:00:00Z")
    assert (finding.kind, finding.key) == ("refusal", "priming_after_sorbate")
    assert "158 mg/L of sorbate" in finding_text(finding)
    assert ask(KEPT, bottle("beer", 0), "2026-04-04T13:00:00Z") == ()


def test_more_pressure_than_the_glass_is_made_for_is_refused(ask: Ask) -> None:
    # 3 bar for beer glass, in a warm room too: CO2 at 30 °C is 0.763 as soluble as at 20 (Weiss 1974, 1.313 and 1.720
    # g/L). 18 g of sucrose in 3 L is 6.3 g/L as hexose and 2.0 bar at 20 °C, 2.9 at 30; 20 g is 2.2 and 3.2 bar.
    assert ask(DRY, bottle("beer", 18), NOW) == ()
    (finding,) = ask(DRY, bottle("beer", 20), NOW)
    assert (finding.kind, finding.key) == ("refusal", "bottle_pressure")
    text = finding_text(finding)
    for number in ("20 g of priming", "7.0 g/L", "2.2 bar at 20 °C and 3.2 bar at 30 °C",
                   "beer glass is planned for 3.0 bar at 20 °C and 3.0 bar at 30 °C"):  # fmt: skip
        assert number in text


def test_sparkling_glass_holds_six_bar_and_eight_in_a_warm_room(ask: Ask) -> None:
    # Eight is half of the usual burst specification of 16 (tables/pressure_lines.csv).
    assert ask(DRY, bottle("sparkling", 53), NOW) == ()
    assert keys(ask(DRY, bottle("sparkling", 55), NOW)) == [("refusal", "bottle_pressure")]


def test_dextrose_gives_less_than_sucrose(ask: Ask) -> None:
    assert ask(DRY, bottle("beer", 20.5, kind="dextrose"), NOW) == ()


def test_priming_while_it_moves_is_refused_as_unready(ask: Ask) -> None:
    page = DRY.replace('03-20T12:00:00Z, did = "read", sg = 0.983', '03-20T12:00:00Z, did = "read", sg = 1.010')
    assert keys(ask(page, bottle("sparkling", 18), NOW)) == [("refusal", "bottle_unstable")]


def test_priming_a_sweet_mead_counts_its_own_sugar(ask: Ask) -> None:
    page = DRY.replace("0.983", "1.012") + '{ at = 2026-05-30T12:00:00Z, did = "read", sg = 1.012, temp_c = 19 }'
    found = ask(page, bottle("sparkling", 18), "2026-05-30T13:00:00Z", plan="end = 1.012")
    assert keys(found) == [("refusal", "bottle_pressure")]
    still = ask(page, bottle("still", 0), "2026-05-30T13:00:00Z", plan="end = 1.012")
    assert keys(still) == [("advice", "stopped_not_dry")]


def test_a_closure_that_pressure_pushes_out_is_refused(ask: Ask) -> None:
    (finding,) = ask(DRY, bottle("beer", 18, "hand cork"), NOW)
    assert (finding.kind, finding.key) == ("refusal", "closure_of_pressure")
    assert (
        finding_text(finding) == "Hand cork on beer glass with gas to come. Pressure pushes it out. "
        "Take one that holds: crown cap."
    )
    assert ask(DRY, bottle("beer", 18, "a thing of my own"), NOW) == ()


def test_a_closure_shorter_than_the_plan_is_advice(ask: Ask) -> None:
    entry = bottle("still", 0, "hand cork")
    (finding,) = ask(DRY, entry, NOW, plan="age_months = 7")
    assert (finding.kind, finding.key) == ("advice", "closure_of_age")
    assert "6 months" in finding_text(finding)
    assert "7 months" in finding_text(finding)
    assert ask(DRY, entry, NOW, plan="age_months = 6") == ()
