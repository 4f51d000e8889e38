"""What cellar.toml says. A file or field at fault gives the default and a problem; the cellar opens all the same.

Named tuples, because a frozen dataclass takes six times as long to make, and these stand on the path to the first text.
"""

from collections.abc import Mapping
from datetime import date, tzinfo
from types import MappingProxyType
from typing import Any, NamedTuple

from fermtui.units import Units

DEMANDS = ("low", "medium", "high")
_NONE: Mapping[str, Any] = MappingProxyType({})


class Hydrometer(NamedTuple):
    """The temperature (°C) that it is marked for, and what it shows too much (SG) in pure water at that temperature."""

    calibrated_c: float = 20.0
    offset_sg: float = 0.0


class Container(NamedTuple):
    """Something to ferment in, filled to the brim with `capacity_l`."""

    name: str
    capacity_l: float


class BottleKind(NamedTuple):
    """A size of bottle that the maker uses; glass is still, beer or sparkling; `empties` None where nobody counted."""

    size_ml: float
    glass: str = "still"
    empties: int | None = None


class Stock(NamedTuple):
    """What stood on the shelf when it was counted. `fruit` in grams by kind, `closures` by kind."""

    counted: date | None = None
    honey_g: float | None = None
    dap_g: float | None = None
    autolysate_g: float | None = None
    complex_g: float | None = None
    metabisulfite_g: float | None = None
    sorbate_g: float | None = None
    yeast_g: float | None = None
    fruit: Mapping[str, float] = _NONE
    closures: Mapping[str, int] = _NONE


class Nutrients(NamedTuple):
    """What the labels say (percent nitrogen by mass), estimates without a published source, and the maker's names."""

    autolysate_n_percent: float = 8.0
    autolysate_effect: float = 1.0
    complex_n_percent: float | None = None
    inorganic_share: float = 0.5
    honey_mg_per_l: float = 20.0
    juice_mg_per_l: float = 80.0
    demand_low: float = 0.8
    demand_medium: float = 1.0
    demand_high: float = 1.25
    dap_name: str | None = None
    autolysate_name: str | None = None
    complex_name: str | None = None

    def demand_factor(self, demand: str) -> float:
        """The factor of a demand class, low, medium or high."""
        return {"low": self.demand_low, "high": self.demand_high}.get(demand, self.demand_medium)


class YeastKind(NamedTuple):
    """A yeast under the name that the maker gave it; tolerance in % vol."""

    name: str
    demand: str = "medium"
    tolerance_abv: float | None = None


class SulfiteSettings(NamedTuple):
    """The salt in the jar and the molecular SO2 (mg/L) that a dose aims at."""

    salt: str = "potassium"
    molecular_mg_per_l: float = 0.8


class Appearance(NamedTuple):
    """How the screens look; theme None is the program's own."""

    theme: str | None = None
    ascii: bool = False
    mouse: bool = True


class Settings(NamedTuple):
    """All of cellar.toml.

    `zone` gives every instant its day; `timezone` is its name, `local` where the system's zone has none. `keys` maps
    the program's actions to keys. `unknown` are names in the file that mean nothing to this version, with their lines.
    """

    zone: tzinfo
    timezone: str
    units: Units = Units()
    hydrometer: Hydrometer = Hydrometer()
    containers: tuple[Container, ...] = ()
    bottles: tuple[BottleKind, ...] = ()
    stock: Stock = Stock()
    nutrients: Nutrients = Nutrients()
    yeasts: tuple[YeastKind, ...] = ()
    sulfite: SulfiteSettings = SulfiteSettings()
    look: Appearance = Appearance()
    keys: Mapping[str, str] = _NONE
    honey_moisture_percent: float = 17.1
    rack_loss_percent: float = 4.0
    room_m3: float | None = None
    unknown: tuple[tuple[str, int | None], ...] = ()

    @property
    def capacities_l(self) -> dict[str, float]:
        """The capacity of each container by its name."""
        return {one.name: one.capacity_l for one in self.containers}

    def yeast(self, name: str | None) -> YeastKind | None:
        """The yeast of that name, whatever its case, or None."""
        return next((one for one in self.yeasts if name and one.name.casefold() == name.casefold()), None)
