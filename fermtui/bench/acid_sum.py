"""Titratable acid: acid."""

from __future__ import annotations

from fermtui.bench.options import GivenOptions
from fermtui.bench.result import Sum, Value
from fermtui.explain.explained import Explained, Input
from fermtui.must import acid as acids

SOURCE = "molar masses; Ribéreau-Gayon et al., Handbook of Enology 2, ch. 1"


def acid(given: GivenOptions) -> Sum:
    """Titratable acid as other acids, and grams for a wanted one."""
    now, told_as = given.number("now"), given.word("as")
    values: dict[str, Value] = {
        f"as_{name}_g_per_l": acids.as_acid(now, told_as, name) for name in acids.G_PER_PROTON
    }
    told = Input(f"titratable acid as {told_as}", now, "g/L")
    formula = "g/L / grams a proton of the one * grams a proton of the other"
    steps = [Explained("as tartaric", acids.as_acid(now, told_as, "tartaric"), "g/L", formula, (told,), SOURCE)]
    to = given.maybe("to")
    if to is not None:
        volume_l = given.needs("volume", "a wanted acid")
        means = given.word("with") if "with" in given.given else ("tartaric" if to >= now else "bicarbonate")
        grams = acids.change_g(volume_l, now, to, told_as, means)
        values |= {"means": means, "add_g": grams, "trial_g_per_l": grams / volume_l}
        inputs = (told, Input("wanted", to, "g/L"), Input("volume", volume_l, "L"))
        formula = f"volume * (wanted - now) / grams a proton of {told_as} * grams a proton of {means}"
        steps.append(Explained("to add", grams, "g", formula, inputs, SOURCE))
    return Sum("acid", values, ("acid_trial",) if to is not None else (), tuple(steps))
