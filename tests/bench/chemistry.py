"""Microseconds a call of the chemistry that a replay leans on. Run by hand: python tests/bench/chemistry.py."""

import timeit

from fermtui.must.composition import Must, ferment_to, from_gravity
from fermtui.must.density import curve_at, mixture_density
from fermtui.must.hydrometer import true_sg
from fermtui.must.refractometer import sg_from_brix
from fermtui.must.strength import abv_plus_minus

MUST = from_gravity(20.0, 1.090)
MEAD, EATEN_G = ferment_to(MUST, 1.010)


def hundred_readings() -> Must:
    curve_at.cache_clear()
    must = MUST
    for k in range(100):
        sg = true_sg(1.090 - 0.0009 * k, 17.0 + 0.07 * k, must)
        must, _ = ferment_to(must, sg)
    return must


CALLS = {
    "mixture_density at 20 °C": lambda: mixture_density(900.0, 200.0, 50.0),
    "a new temperature": lambda: curve_at.__wrapped__(23.0),
    "ferment_to": lambda: ferment_to(MUST, 1.030),
    "from_gravity": lambda: from_gravity(20.0, 1.090),
    "true_sg at 23 °C": lambda: true_sg(1.030, 23.0, MUST),
    "sg_from_brix, fermenting": lambda: sg_from_brix(14.0, MUST, fermented=True),
    "abv_plus_minus": lambda: abv_plus_minus(MEAD, fermented_g=EATEN_G),
    "100 readings, each at its own temperature": hundred_readings,
}

if __name__ == "__main__":
    for name, call in CALLS.items():
        turns = 50 if call is hundred_readings else 5000
        best = min(timeit.repeat(call, number=turns, repeat=5)) / turns
        print(f"{name:45s} {best * 1e6:9.2f} us")
