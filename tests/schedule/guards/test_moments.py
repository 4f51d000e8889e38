"""Each entry is shown with the cautions of its moment (safety_cautions: their moments and bases)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fermtui.must.cautions import cautions

Moments = Callable[..., tuple[str, ...]]

START = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }
"""
DRY = (
    START
    + """
{ at = 2026-03-20T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-23T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
{ at = 2026-03-27T12:00:00Z, did = "read", sg = 0.983, temp_c = 19 }
"""
)
SOUR = DRY + '{ at = 2026-03-27T13:00:00Z, did = "read", ph = 4.8 }\n'
NOW = "2026-03-28T12:00:00Z"


@pytest.mark.parametrize(("page", "entry", "expected"), [
    (START, '{ did = "dose", dap_g = 1 }', ("dose",)),
    (DRY, '{ did = "dose", dap_g = 1 }', ("late_dose", "dose")),
    (DRY, '{ did = "fruit", kind = "plum", mass_g = 400 }', ("fruit",)),
    (DRY, '{ did = "fruit", kind = "plum", mass_g = 400, treatment = "simmered" }', ("fruit_heat", "fruit")),
    (DRY, '{ did = "fruit", kind = "mango", mass_g = 400 }', ("high_ph", "fruit")),
    (DRY, '{ did = "read", ph = 4.7 }', ("high_ph",)),
    (DRY, '{ did = "read", ph = 4.6 }', ()),
    (SOUR, '{ did = "sulfite", metabisulfite_g = 1 }', ("high_ph", "sulfite")),
    (DRY, '{ did = "sulfite", metabisulfite_g = 1 }', ("sulfite",)),
    (DRY, '{ did = "sorbate", sorbate_g = 1 }', ("sorbate",)),
    (DRY, '{ did = "sweeten", honey_g = 1 }', ("sweeten",)),
    (DRY, '{ did = "bottle" }', ("filling",)),
    (DRY, '{ did = "bottle", priming_g = 18 }', ("sparkling",)),
    (START, '{ did = "bottle" }', ("bottle_unstable", "filling")),
    (DRY.replace("0.983", "1.020"), '{ did = "bottle" }', ("no_activity", "bottle_unstable", "filling")),
    (DRY, '{ did = "open" }', ("drink",)),
    (DRY, '{ did = "open", why = "burst" }', ("hot_store",)),
    (DRY, '{ did = "taste" }', ("drink",)),
    (DRY, '{ did = "note", text = "calm" }', ()),
])  # fmt: skip
def test_moments(moments: Moments, page: str, entry: str, expected: tuple[str, ...]) -> None:
    shown = moments(page, entry, NOW)
    assert shown == expected
    for moment in shown:
        assert cautions(moment)  # type: ignore[arg-type]  # the fixture gives plain text


def test_a_sparkling_plan_is_warned_before_the_form_is_filled_in(moments: Moments) -> None:
    assert moments(DRY, '{ did = "bottle" }', NOW, plan="sparkling = true") == ("sparkling",)
