"""One refusal, one sentence."""

from math import inf, nan

import pytest

from fermtui.must.limits import OutOfRange, within


def test_what_lies_within_comes_back() -> None:
    assert within("temperature", 40.0, -5.0, 40.0, "°C", "reason") == 40.0


def test_the_sentence_names_the_value_the_range_and_the_reason() -> None:
    with pytest.raises(OutOfRange, match=r"^temperature -80 °C is outside -5 to 40 °C: the tables end there$"):
        within("temperature", -80.0, -5.0, 40.0, "°C", "the tables end there")


@pytest.mark.parametrize("value", [nan, inf, -inf])
def test_what_is_no_number_is_refused(value: float) -> None:
    with pytest.raises(OutOfRange, match=r"^share that is not a number is outside 0 to 1: "):
        within("share", value, 0.0, 1.0, "", "it is a share")


def test_it_is_a_value_error() -> None:
    assert issubclass(OutOfRange, ValueError)
