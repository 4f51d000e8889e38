"""What cannot be, whatever reason is given: one sentence, and no other finding beside it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fermtui.schedule.guards import Finding
from fermtui.wording.findings import finding_text

Ask = Callable[..., tuple[Finding, ...]]

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
BOTTLED = DRY + '{ at = 2026-03-28T12:00:00Z, did = "bottle", count = 5, size_ml = 750, glass = "still" }\n'
NOW = "2026-03-28T13:00:00Z"


def one(found: tuple[Finding, ...]) -> tuple[str, str]:
    """The key and the sentence of the one finding, which is impossible."""
    (finding,) = found
    assert finding.kind == "impossible"
    text = finding_text(finding)
    assert text.count(". ") == 0
    return finding.key, text


@pytest.mark.parametrize(("entry", "said"), [
    ('{ did = "bottle", count = -4, size_ml = 750 }', "a bottling has at least one bottle"),
    ('{ did = "bottle", count = 0, size_ml = 750 }', "a bottling has at least one bottle"),
    ('{ did = "dose", dap_g = -1.5 }', "DAP -1.5 is less than nothing"),
    ('{ did = "rack", volume_l = -1 }', "the volume -1 is"),
])  # fmt: skip
def test_less_than_nothing(ask: Ask, entry: str, said: str) -> None:
    key, text = one(ask(DRY, entry, NOW))
    assert key == "below_nothing"
    assert said in text


def test_more_bottles_than_mead(ask: Ask) -> None:
    key, text = one(ask(DRY, '{ did = "bottle", count = 6, size_ml = 750 }', NOW))
    assert key == "more_out_than_in"
    assert "6 bottles of 750 mL make 4.5 L, more than the 3.9 L in the vessel" in text
    assert ask(DRY, '{ did = "bottle", count = 5, size_ml = 750, left_l = 0.2 }', NOW) == ()
    assert one(ask(DRY, '{ did = "bottle", count = 5, size_ml = 750, left_l = 0.5 }', NOW))[0] == "more_out_than_in"


@pytest.mark.parametrize(("over", "inside"), [
    ('{ did = "split", into = "rowan-2", volume_l = 4.2 }', '{ did = "split", into = "rowan-2", volume_l = 2.0 }'),
    ('{ did = "rack", volume_l = 4.3 }', '{ did = "rack", volume_l = 4.0 }'),
    ('{ did = "read", sg = 1.000, sample_ml = 4900 }', '{ did = "read", sg = 1.000, sample_ml = 100 }'),
    ('{ did = "pull", what = "oak", loss_l = 4.5 }', '{ did = "pull", what = "oak", loss_l = 0.1 }'),
])  # fmt: skip
def test_more_out_than_in(ask: Ask, over: str, inside: str) -> None:
    key, text = one(ask(START, over, "2026-03-06T12:00:00Z"))
    assert key == "more_out_than_in"
    assert "4.0 L" in text
    assert ask(START, inside, "2026-03-06T12:00:00Z") == ()


def test_more_opened_than_left(ask: Ask) -> None:
    assert ask(BOTTLED, '{ did = "open", count = 5 }', "2026-04-01T12:00:00Z") == ()
    key, text = one(ask(BOTTLED, '{ did = "open", count = 6 }', "2026-04-01T12:00:00Z"))
    assert key == "more_out_than_in"
    assert "6 bottles to open, and 5 bottles left" in text
    two_gone = BOTTLED + '{ at = 2026-03-30T12:00:00Z, did = "open", count = 2 }\n'
    assert ask(two_gone, '{ did = "open", count = 3 }', "2026-04-01T12:00:00Z") == ()
    assert "and 3 bottles left" in one(ask(two_gone, '{ did = "open", count = 4 }', "2026-04-01T12:00:00Z"))[1]
    assert one(ask(BOTTLED, '{ did = "open", size_ml = 330 }', "2026-04-01T12:00:00Z"))[0] == "more_out_than_in"
    assert one(ask(DRY, '{ did = "open" }', NOW))[0] == "more_out_than_in"


def test_racking_into_an_unknown_container(ask: Ask) -> None:
    key, text = one(ask(START, '{ did = "rack", into = "Bucket", volume_l = 3.8 }', "2026-03-06T12:00:00Z"))
    assert key == "unknown_container"
    assert "container Bucket is not in cellar.toml" in text
    assert "Demijohn 2, Gallon, Jug" in text


def test_racking_into_a_taken_container(ask: Ask) -> None:
    entry = '{ did = "rack", into = "Demijohn 2", volume_l = 3.8 }'
    key, text = one(ask(START, entry, "2026-03-06T12:00:00Z", occupied={"Demijohn 2"}))
    assert key == "full_container"
    assert "Demijohn 2 is taken" in text
    assert "Jug" in text
    assert ask(START, entry, "2026-03-06T12:00:00Z", occupied={"Jug"}) == ()


def test_racking_more_than_a_container_holds(ask: Ask) -> None:
    page = START.replace("volume_l = 4.0", "volume_l = 4.8")
    key, text = one(ask(page, '{ did = "rack", into = "Jug", volume_l = 4.6 }', "2026-03-06T12:00:00Z"))
    assert key == "full_container"
    assert "4.6 L" in text
    assert "4.2 L" in text
    assert ask(page, '{ did = "rack", into = "Jug", volume_l = 4.2 }', "2026-03-06T12:00:00Z") == ()


@pytest.mark.parametrize("entry", [
    '{ did = "fruit", kind = "plum", mass_g = 400 }',
    '{ did = "feed", honey_g = 100 }',
    '{ did = "dose", dap_g = 1 }',
    '{ did = "rack", volume_l = 1 }',
    '{ did = "sweeten", honey_g = 100 }',
    '{ did = "bottle", count = 1, size_ml = 750 }',
    '{ did = "top_up", volume_l = 1 }',
])  # fmt: skip
def test_nothing_goes_into_a_bottled_vessel(ask: Ask, entry: str) -> None:
    key, text = one(ask(BOTTLED, entry, "2026-03-29T12:00:00Z"))
    assert key == "bottled_already"
    assert "5 bottles" in text


def test_a_bottled_vessel_may_still_be_tasted_and_read(ask: Ask) -> None:
    for entry in ('{ did = "taste", score = 14 }', '{ did = "read", sg = 0.999 }', '{ did = "note", text = "cellar" }'):
        assert ask(BOTTLED, entry, "2026-04-01T12:00:00Z") == ()


def test_an_emptied_vessel_is_empty(ask: Ask) -> None:
    page = DRY + '{ at = 2026-03-28T12:00:00Z, did = "empty", reason = "vinegar" }'
    assert "the vessel is empty" in one(ask(page, '{ did = "heat", temp_c = 60 }', NOW))[1]
    assert one(ask(page, '{ did = "feed", honey_g = 100 }', NOW))[0] == "bottled_already"


def test_a_blend_with_itself(ask: Ask) -> None:
    entry = '{ did = "top_up", volume_l = 0.5, from = "rowan" }'
    key, text = one(ask(START, entry, "2026-03-06T12:00:00Z", vessel="rowan"))
    assert key == "with_itself"
    assert "rowan" in text
    assert ask(START, entry, "2026-03-06T12:00:00Z", vessel="heather") == ()
    split = '{ did = "split", into = "rowan", volume_l = 1 }'
    assert one(ask(START, split, "2026-03-06T12:00:00Z", vessel="rowan"))[0] == "with_itself"


@pytest.mark.parametrize(
    "entry", ['{ did = "dose", dap_g = 1 }', '{ did = "degas" }', '{ did = "rack", volume_l = 1 }']
)
def test_a_dose_before_there_is_a_must(ask: Ask, entry: str) -> None:
    assert one(ask("", entry, "2026-03-01T12:00:00Z"))[0] == "no_must"
    dated = entry.replace("{ did", "{ at = 2026-02-28T12:00:00Z, did")
    key, text = one(ask(START, dated, NOW))
    assert key == "no_must"
    assert "28 Feb 2026" in text
    assert "1 Mar 2026" in text


@pytest.mark.parametrize("entry", [
    '{ at = 2026-03-01T11:30:00Z, did = "bottle", count = 1, size_ml = 750 }',
    '{ at = 2026-03-01T11:30:00Z, did = "sorbate", sorbate_g = 0.5 }',
    '{ at = 2026-03-01T11:30:00Z, did = "sweeten", honey_g = 50 }',
])  # fmt: skip
def test_a_date_before_pitching(ask: Ask, entry: str) -> None:
    key, text = one(ask(DRY, entry, NOW))
    assert key == "before_pitching"
    assert "1 Mar 2026 11:30" in text
    assert "1 Mar 2026 12:00" in text
    unpitched = "\n".join(START.strip().splitlines()[:2])
    assert "no yeast has been pitched" in one(ask(unpitched, entry, NOW))[1]


def test_a_share_of_a_mead_may_be_bottled_though_its_yeast_came_with_it(ask: Ask) -> None:
    page = (
        '{ at = 2026-03-20T12:00:00Z, did = "receive", from = "rowan", water_g = 1700, sugar_g = 40, ethanol_g = 200 }'
    )
    (finding,) = ask(page, '{ did = "bottle", count = 2, size_ml = 750 }', NOW)
    assert (finding.kind, finding.key) == ("refusal", "bottle_unstable")


def test_pulling_fruit_where_there_is_none(ask: Ask) -> None:
    pull = '{ did = "pull", what = "fruit" }'
    assert "no fruit was put in" in one(ask(START, pull, "2026-03-20T12:00:00Z"))[1]
    page = START + '{ at = 2026-03-15T12:00:00Z, did = "fruit", kind = "plum", mass_g = 400 }\n'
    assert ask(page, pull, "2026-03-20T12:00:00Z") == ()
    pulled = page + '{ at = 2026-03-20T12:00:00Z, did = "pull", what = "fruit" }\n'
    assert "20 Mar 2026" in one(ask(pulled, pull, "2026-03-21T12:00:00Z"))[1]
    assert ask(START, '{ did = "pull", what = "oak" }', "2026-03-20T12:00:00Z") == ()


@pytest.mark.parametrize(("what", "did"), [
    ("potassium metabisulfite", "sulfite"), ("Sulphite", "sulfite"), ("potassium sorbate", "sorbate"), ("DAP", "dose"),
    ("plums", "fruit"), *((f"some {name}", "sulfite") for name in (
        "sulfite", "sulphite", "sulfites", "sulphites", "metabisulfite", "metabisulphite", "bisulfite", "bisulphite",
    )), *((name, "dose") for name in ("dap", "diammonium phosphate", "phosphate", "diammonium", "autolysate")),
])  # fmt: skip
def test_what_has_guards_of_its_own_is_no_mere_addition(ask: Ask, what: str, did: str) -> None:
    key, text = one(ask(DRY, f'{{ did = "add", what = "{what}", mass_g = 300 }}', NOW))
    assert key == "has_its_own_kind"
    assert f"{what} is written as {did}, not as an addition" in text


@pytest.mark.parametrize("entry", [
    'what = "tannin", mass_g = 2', 'what = "lemon", mass_g = 20', 'what = "oak"', 'what = "oak chips", mass_g = 80',
    'what = "erythritol", mass_g = 200', 'what = "tap water", volume_l = 0.2', 'what = "malt extract", mass_g = 200',
    'what = "kvass", volume_l = 0.05', 'what = "kvass", volume_l = 0.2, sugar_g = 10', 'what = "plums", mass_g = 150',
])  # fmt: skip
def test_additions_that_the_table_knows_ask_nothing(ask: Ask, entry: str) -> None:
    assert ask(DRY, f'{{ did = "add", {entry} }}', NOW) == ()


@pytest.mark.parametrize(("entry", "how"), [
    ('did = "add", what = "kvass", volume_l = 0.06', "sugar_g"),
    ('did = "add", what = "mystery", mass_g = 51', "sugar_g"),
    ('did = "top_up", with = "kvass", volume_l = 0.3', "sg and abv_percent"),
])  # fmt: skip
def test_what_nobody_knows_is_asked_for_its_sugar(ask: Ask, entry: str, how: str) -> None:
    (finding,) = ask(DRY, f"{{ {entry} }}", NOW)
    assert (finding.kind, finding.key) == ("advice", "how_much_sugar")
    assert "holds is not known" in finding_text(finding)
    assert how in finding_text(finding)


def test_much_fruit_is_a_matter_of_litres(ask: Ask) -> None:
    """50 g a litre: our limit, no source."""
    small = DRY + '{ at = 2026-03-28T10:00:00Z, did = "rack", volume_l = 1.0 }\n'
    entry = '{ did = "add", what = "raisins", mass_g = 100 }'
    assert one(ask(small, entry, NOW))[0] == "has_its_own_kind"
    assert ask(DRY, entry, NOW) == ()
