"""What the trade calls a mead: BJCP mead guidelines (2008) as quoted in a public text: data/bjcp_mead_bands.csv."""

from collections.abc import Callable

from fermtui.must.strength import strength_band, sweetness_band

Rows = list[dict[str, str]]


def test_strength(published: Callable[[str], Rows]) -> None:
    for row in published("bjcp_mead_bands"):
        if row["class"] == "strength":
            assert strength_band((float(row["low"]) + float(row["high"])) / 2) == row["band"]
            assert strength_band(float(row["low"])) == row["band"]
    assert strength_band(3.4) is None
    assert strength_band(18.5) is None


def test_sweetness(published: Callable[[str], Rows]) -> None:
    for row in published("bjcp_mead_bands"):
        if row["class"] == "final_gravity":
            assert sweetness_band((float(row["low"]) + float(row["high"])) / 2) == row["band"]
            assert sweetness_band(float(row["low"])) == row["band"]
            if row["open_ended"] == "yes":
                assert sweetness_band(float(row["high"]) + 0.02) == row["band"]
