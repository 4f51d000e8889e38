"""The cellar.toml of a new cellar: every setting with its default as a comment, to be edited."""

from __future__ import annotations

from fermtui.daybook.zone import system_zone

_TEXT = """\
# Settings of this cellar, yours to edit. What stands behind a # is the default or an example.

{timezone}
# honey_moisture_percent = 17.1   # water in your honey
# rack_loss_percent = 4.0         # left behind with the lees at each racking
# room_m3 = 30                    # the room where the vessels ferment, for the caution about carbon dioxide

[units]                           # what you read and type; files and JSON are metric always
# volume = "L"                    # or gal
# mass = "g"                      # or lb
# temp = "C"                      # or F
# gravity = "sg"                  # or brix
# decimal_comma = false

[hydrometer]
# calibrated_c = 20.0             # the temperature printed on it, in degrees Celsius (60 F is 15.6)
# offset_sg = 0.0                 # what it shows too much in pure water at that temperature

# What you ferment in: capacity filled to the brim. One such block for each.
# [[container]]
# name = "Demijohn 1"
# capacity_l = 5.0

# The bottles that you use; glass is still, beer or sparkling; count is how many empty ones you have.
# [[bottle]]
# size_ml = 750
# glass = "still"
# count = 24

# Yeasts under the names that you give them; the packet says nitrogen demand and alcohol tolerance.
# [[yeast]]
# name = "white wine yeast"
# demand = "medium"               # low, medium or high
# tolerance_abv = 14

[stock]                           # what you counted, and when; use since then is subtracted
# counted = 2026-03-01
# honey_g = 3000
# dap_g = 100
# autolysate_g = 200
# complex_g = 0
# metabisulfite_g = 50
# sorbate_g = 50
# yeast_g = 10
# fruit_g = {{ plum = 1500 }}
# closures = {{ screw_cap = 20, hand_cork = 10 }}

[nutrients]                       # estimates without a published source: the label goes first
# autolysate_n_percent = 8.0      # nitrogen by mass
# autolysate_effect = 1.0         # the part of it that the yeast can use
# complex_n_percent = 10.0        # no default: the label says it
# inorganic_share = 0.5           # of the nitrogen that is given; autolysate gives the rest
# honey_mg_per_l = 20.0           # nitrogen that the honey brings
# juice_mg_per_l = 80.0           # nitrogen in apple juice
# demand_low = 0.8                # times the usual need
# demand_medium = 1.0
# demand_high = 1.25
# dap_name = "diammonium phosphate"
# autolysate_name = "yeast autolysate"
# complex_name = "complex nutrient"

[sulfite]
# salt = "potassium"              # or sodium
# molecular_mg_per_l = 0.8

[look]
# theme = "textual-dark"
# ascii = false                   # for terminals without braille
# mouse = true

[keys]                            # action = key; the help screen lists the actions
# undo = "u"
"""


def default_text(timezone: str | None = None) -> str:
    """The text, with the zone of this computer written out unless another is given: days must not change on travels."""
    name = timezone or system_zone()[0]
    named = f'timezone = "{name}"' if name != "local" else '# timezone = "Europe/Vienna"'
    return _TEXT.format(timezone=f"{named:<34}# a task's day is a day of this zone")
