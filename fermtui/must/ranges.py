"""What may be asked of the practical sums: one range and one reason for each kind of number."""

from fermtui.must.limits import within


def volume_l(value: float) -> float:
    """Litres, 0.01 to 10,000."""
    return within("volume", value, 0.01, 10_000, "L", "a vessel holds more than a spoonful and less than a lorry")


def part_l(value: float) -> float:
    """Litres that may be nothing, 0 to 10,000."""
    return within("volume", value, 0, 10_000, "L", "it cannot be less than nothing, nor more than a lorry holds")


def mass_g(name: str, value: float) -> float:
    """Grams, 0 to 10,000,000."""
    return within(name, value, 0, 10_000_000, "g", "a mass cannot be less than nothing, nor more than ten tonnes here")


def ph(value: float) -> float:
    """PH of must, mead or fruit, 2 to 7."""
    return within("pH", value, 2, 7, "", "must, mead and fruit lie between lemon juice and water; check the meter")


def abv_percent(value: float) -> float:
    """Per cent by volume, 0 to 25: what yeast can make, with room to spare."""
    return within("strength", value, 0, 25, "% vol", "no yeast goes further, and the tables of preserving end below")


def temp_c(value: float) -> float:
    """Degrees Celsius of a liquid vessel or bottle, -5 to 40."""
    return within("temperature", value, -5, 40, "°C", "mead freezes at the one end and the tables stop at the other")


def mg_per_l(name: str, value: float) -> float:
    """Milligrams a litre, 0 to 10,000."""
    return within(name, value, 0, 10_000, "mg/L", "it cannot be less than nothing, nor more than one part in a hundred")


def share(name: str, value: float) -> float:
    """A share of the whole, 0 to 1."""
    return within(name, value, 0, 1, "", "it is a share of the whole")


def percent(name: str, value: float) -> float:
    """Per cent of the whole, 0 to 100."""
    return within(name, value, 0, 100, "%", "it is a part of a hundred")
