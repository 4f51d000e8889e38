"""Cautions: one for every moment, short, with a basis."""

from typing import cast

import pytest

from fermtui.must.cautions import MOMENTS, Caution, Moment, cautions, way_out

ALL = [caution for moment in MOMENTS for caution in cautions(moment)]


def test_every_moment_has_its_caution() -> None:
    assert len(ALL) == 27
    assert len({caution.key for caution in ALL}) == 27
    assert [caution.key for caution in cautions("first_start")] == ["law", "infants"]
    assert [caution.key for caution in cautions("later_start")] == ["law_again"]
    assert [caution.key for caution in cautions("plan")] == ["headspace"]


def test_filtering_is_not_taken_for_stabilising() -> None:
    """Common practice, no source: a pad leaves some yeast behind, so honey or a bottle after it may ferment again."""
    (caution,) = cautions("filter")
    assert caution.key == "filter_not_stable"
    assert "not a stabilised one" in caution.text
    assert "Before honey or a bottle" in caution.text
    assert caution.basis == "common practice, no source"


@pytest.mark.parametrize("caution", ALL, ids=[caution.key for caution in ALL])
def test_a_caution_is_short_and_says_where_it_comes_from(caution: Caution) -> None:
    assert len(caution.text) <= 260
    assert 1 <= caution.text.count(". ") + 1 <= 3
    assert caution.basis


def test_a_mistyped_moment_does_not_pass_in_silence() -> None:
    with pytest.raises(KeyError):
        cautions(cast(Moment, "sulphite"))


def test_no_way_out_heats_a_closed_bottle() -> None:
    assert "Never heat a closed bottle" in way_out("heat before bottling")
