"""A batch by the book trips no guard: doses on days 2 and 5, fruit after two weeks, three weeks on it, calm, four
bottles.

Common practice, no source: about a pound of fruit a US gallon, room left for it, four full 750 mL bottles.
"""

from __future__ import annotations

from collections.abc import Callable

from fermtui.schedule.guards import Finding

Ask = Callable[..., tuple[Finding, ...]]

BATCH = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 3.3, honey_g = 950 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 21 }
{ at = 2026-03-01T12:00:00Z, did = "pitch", yeast_g = 5, temp_c = 22 }
{ at = 2026-03-03T12:00:00Z, did = "dose", dap_g = 0.9, autolysate_g = 1.6 }
{ at = 2026-03-05T12:00:00Z, did = "read", sg = 1.070, temp_c = 20 }
{ at = 2026-03-06T12:00:00Z, did = "dose", dap_g = 0.9, autolysate_g = 1.6 }
{ at = 2026-03-12T12:00:00Z, did = "read", sg = 1.001, temp_c = 20 }
{ at = 2026-03-15T12:00:00Z, did = "read", sg = 1.000, temp_c = 20 }
{ at = 2026-03-15T18:00:00Z, did = "fruit", kind = "blackcurrant", mass_g = 450, treatment = "frozen" }
{ at = 2026-03-20T12:00:00Z, did = "punch" }
{ at = 2026-03-29T12:00:00Z, did = "read", sg = 1.000, temp_c = 20 }
{ at = 2026-04-02T12:00:00Z, did = "read", sg = 0.999, temp_c = 20 }
{ at = 2026-04-05T12:00:00Z, did = "read", sg = 0.999, temp_c = 20 }
{ at = 2026-04-05T13:00:00Z, did = "pull", what = "fruit", loss_l = 0.3 }
{ at = 2026-04-20T12:00:00Z, did = "read", sg = 0.999, temp_c = 20 }
{ at = 2026-05-02T12:00:00Z, did = "read", sg = 0.999, temp_c = 20 }
{ at = 2026-05-02T14:00:00Z, did = "bottle", count = 4, size_ml = 750, glass = "still", closure = "hand cork" }
{ at = 2026-07-05T14:00:00Z, did = "taste", score = 14 }
{ at = 2026-10-05T14:00:00Z, did = "open", count = 1, size_ml = 750, why = "drunk" }
"""


def test_a_batch_in_order_is_never_refused(ask: Ask) -> None:
    lines = BATCH.strip().splitlines()
    for at, line in enumerate(lines):
        found = ask("\n".join(lines[:at]), line, "2026-12-01T12:00:00Z", container="Gallon", plan="volume_l = 3.3")
        assert [finding for finding in found if finding.kind != "advice"] == [], line


def test_the_same_batch_bottled_a_week_too_soon_is_refused(ask: Ask) -> None:
    page = "\n".join(line for line in BATCH.strip().splitlines() if line < "{ at = 2026-04-01")
    entry = '{ at = 2026-03-29T14:00:00Z, did = "bottle", count = 4, size_ml = 750, glass = "still" }'
    (finding,) = ask(page, entry, "2026-12-01T12:00:00Z", container="Gallon", plan="volume_l = 3.3")
    assert (finding.kind, finding.key) == ("refusal", "bottle_unstable")
