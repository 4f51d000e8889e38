"""One entry for each thing that a guard finds: a page of a daybook, what trips it, and what stays just inside.

The amounts follow from the limits that tests/schedule/guards hold with their sources. Instants are UTC.
"""

from __future__ import annotations

from typing import NamedTuple

MUST = """
{ at = 2026-03-01T10:00:00Z, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-03-01T11:00:00Z, did = "read", sg = 1.095, temp_c = 20, ph = 3.6 }
"""
YOUNG = MUST + '{ at = 2026-03-01T12:00:00Z, did = "pitch", temp_c = 22 }\n'
HALF = YOUNG + '{ at = 2026-03-08T12:00:00Z, did = "read", sg = 1.050, temp_c = 20 }\n'


def calm(sg: float) -> str:
    """A must that stood three times at this gravity by 27 March."""
    return YOUNG + "".join(
        f'{{ at = 2026-03-{day}T12:00:00Z, did = "read", sg = {sg}, temp_c = 19 }}\n' for day in (13, 20, 27)
    )


DRY, STALLED = calm(0.983), calm(1.012)
RACKED = STALLED + '{ at = 2026-03-28T08:00:00Z, did = "rack", volume_l = 3.9 }\n'
SULFITED = RACKED + '{ at = 2026-03-28T09:00:00Z, did = "sulfite", metabisulfite_g = 0.4, ph = 3.4 }\n'
KEPT = SULFITED + '{ at = 2026-03-28T09:30:00Z, did = "sorbate", sorbate_g = 0.75, ph = 3.4 }\n'
WATCHED = (
    KEPT
    + """
{ at = 2026-03-31T12:00:00Z, did = "read", sg = 1.012, temp_c = 19 }
{ at = 2026-04-04T12:00:00Z, did = "read", sg = 1.012, temp_c = 19 }
"""
)
BOTTLED = DRY + '{ at = 2026-03-28T08:00:00Z, did = "bottle", count = 5, size_ml = 750, closure = "screw cap" }\n'
NOW, WATCHED_BY = "2026-03-28T12:00:00Z", "2026-04-05T12:00:00Z"


class Trip(NamedTuple):
    """What the guard finds (`key`), and the entries as they are typed: `DID field=value ..`.

    `plan`: lines of the plan beside the usual ones. `capacity_l` of its vessel. `kind` as in a Finding.
    """

    kind: str
    key: str
    page: str
    trips: str
    inside: str
    at: str = NOW
    plan: str = ""
    capacity_l: float | None = 5.0

    @property
    def did(self) -> str:
        return self.trips.split()[0]


EARLY = "2026-03-03T12:00:00Z"
LATER = "2026-03-08T18:00:00Z"
JUST_MIXED = "2026-03-01T11:30:00Z"
STILL = "bottle count=4 size_ml=750 closure='screw cap'"

TRIPS = (
    # What cannot be.
    Trip("impossible", "below_nothing", DRY, "bottle count=0 size_ml=750", "bottle count=1 size_ml=750"),
    Trip("impossible", "with_itself", HALF, "top_up with=mead volume_l=0.2 from=rowan",
         "top_up with=water volume_l=0.2"),
    Trip("impossible", "bottled_already", BOTTLED, "degas", "note text='empty'"),
    Trip("impossible", "no_must", "", "dose autolysate_g=1", "note text='not yet mixed'", EARLY),
    Trip("impossible", "before_pitching", MUST, "sweeten honey_g=100", "degas", EARLY),
    Trip("impossible", "more_out_than_in", DRY, "bottle count=6 size_ml=750", "bottle count=5 size_ml=750"),
    Trip("impossible", "more_out_than_in", BOTTLED, "open count=6", "open count=5"),
    Trip("impossible", "unknown_container", DRY, "rack into='Bath tub' volume_l=3.9", "rack into='Jug' volume_l=4"),
    Trip("impossible", "full_container", DRY, "rack into='Small jug' volume_l=3.0", "rack into='Jug' volume_l=4"),
    Trip("impossible", "nothing_to_pull", HALF, "pull what=fruit", "pull what=oak", LATER),
    Trip("impossible", "vessel_empty", BOTTLED + '{ at = 2026-03-28T09:00:00Z, did = "open", count = 5 }\n',
         "chill temp_c=4", "note text='all drunk'"),
    Trip("impossible", "has_its_own_kind", HALF, "add what='potassium sorbate' mass_g=1", "add what=tannin mass_g=1",
         LATER),
    # What can hurt.
    Trip("refusal", "pitch_after_sulfite",
         MUST + '{ at = 2026-03-01T11:10:00Z, did = "sulfite", metabisulfite_g = 0.4, ph = 3.4 }\n',
         "pitch temp_c=22", "note text='tomorrow'", JUST_MIXED),
    Trip("refusal", "pitch_hot", MUST, "pitch temp_c=31", "pitch temp_c=30", JUST_MIXED),
    Trip("refusal", "dap_too_strong", calm(1.020), "dose dap_g=0.5", "dose autolysate_g=0.5"),
    Trip("refusal", "dap_ceiling", YOUNG, "dose dap_g=4.3", "dose dap_g=1", EARLY),
    Trip("refusal", "dose_beyond_need", YOUNG, "dose autolysate_g=45", "dose autolysate_g=2", EARLY),
    Trip("refusal", "sealing_live_ferment", HALF, "chore what='screw cap on tight'", "chore what='airlock on'", LATER),
    Trip("refusal", "runs_over", HALF, "feed honey_g=1500", "feed honey_g=400", LATER),
    Trip("refusal", "level_above_rim", HALF, "level volume_l=5.8", "level volume_l=4", LATER),
    Trip("refusal", "fruit_overflow", HALF, "fruit kind=plum mass_g=1500", "fruit kind=plum mass_g=500", LATER),
    Trip("refusal", "heating_bottles", BOTTLED, "heat temp_c=65 hours=0.3", "heat temp_c=30 hours=1"),
    Trip("refusal", "heating_live_ferment", HALF, "heat temp_c=65 hours=0.3", "heat temp_c=24 hours=12", LATER),
    Trip("refusal", "sulfite_ceiling", DRY, "sulfite metabisulfite_g=2.6 ph=3.4",
         "sulfite metabisulfite_g=0.35 ph=3.4"),
    Trip("refusal", "sorbate_while_live", HALF, "sorbate sorbate_g=0.75 ph=3.4", "sulfite metabisulfite_g=0", LATER),
    Trip("refusal", "sorbate_without_sulfite", RACKED, "sorbate sorbate_g=0.75 ph=3.4",
         "sulfite metabisulfite_g=0.4 ph=3.4"),
    Trip("refusal", "sorbate_outside", SULFITED, "sorbate sorbate_g=0.75 ph=3.6", "sorbate sorbate_g=0.75 ph=3.4"),
    Trip("refusal", "sorbate_malolactic",
         SULFITED + '{ at = 2026-03-28T09:20:00Z, did = "add", what = "malolactic culture", mass_g = 1 }\n',
         "sorbate sorbate_g=0.75 ph=3.4", "note text='no sorbate after malolactic'"),
    Trip("refusal", "sorbate_ceiling", SULFITED, "sorbate sorbate_g=1.1 ph=3.4", "sorbate sorbate_g=0.75 ph=3.4"),
    Trip("refusal", "sweeten_while_live", HALF, "sweeten honey_g=100", "feed honey_g=100", LATER),
    Trip("refusal", "bottle_unstable", STALLED, STILL, "note text='not yet'"),
    Trip("refusal", "bottle_pressure", DRY, "bottle count=4 size_ml=750 glass=beer closure='crown cap' priming_g=60",
         "bottle count=4 size_ml=750 glass=sparkling closure='crown cap' priming_g=12"),
    Trip("refusal", "priming_after_sorbate", WATCHED, "bottle count=4 size_ml=750 glass=sparkling priming_g=12", STILL,
         WATCHED_BY),
    Trip("refusal", "priming_in_still_glass", DRY, "bottle count=4 size_ml=750 glass=still priming_g=12", STILL),
    Trip("refusal", "closure_of_pressure",
         DRY, "bottle count=4 size_ml=750 glass=sparkling closure=bar_top priming_g=12",
         "bottle count=4 size_ml=750 glass=sparkling closure='crown cap' priming_g=12"),
    # What is worth a word.
    Trip("advice", "pitch_cold", MUST, "pitch temp_c=9", "pitch temp_c=10", JUST_MIXED),
    Trip("advice", "ph_low", HALF, "read ph=2.9", "read ph=3.0", LATER),
    Trip("advice", "pitch_into_strong", DRY, "pitch temp_c=20", "note text='no starter yet'"),
    Trip("advice", "feed_beyond_tolerance", DRY, "feed honey_g=100", "note text='strong enough'",
         plan="yeast = { tolerance_abv = 14 }"),
    Trip("refusal", "end_elsewhere", STALLED, "end sg=1.004 reason='it stopped'",
         "end sg=1.012 reason='nothing moves it'"),
    Trip("refusal", "end_not_calm", HALF, "end sg=1.050 reason='it stopped'", "note text='does it go?'", LATER),
    Trip("advice", "racked_early", HALF, "rack volume_l=3.8", "degas", LATER),
    Trip("advice", "aerate_finished", DRY, "aerate", "degas"),
    Trip("advice", "dap_past_third", HALF, "dose dap_g=0.5", "dose autolysate_g=0.5", LATER),
    Trip("advice", "dose_above_plan", YOUNG, "dose autolysate_g=14", "dose autolysate_g=2", EARLY),
    Trip("advice", "dose_soon", YOUNG + '{ at = 2026-03-03T02:00:00Z, did = "dose", autolysate_g = 1 }\n',
         "dose autolysate_g=1", "degas", EARLY),
    Trip("advice", "how_much_sugar", HALF, "add what='grandma mystery' mass_g=51",
         "add what='grandma mystery' mass_g=50", LATER),
    Trip("advice", "ends_stabilising", KEPT, "feed honey_g=50", "top_up with=water volume_l=0.1"),
    Trip("advice", "fruit_room", HALF, "fruit kind=plum mass_g=900", "fruit kind=plum mass_g=500", LATER),
    Trip("advice", "fruit_room_unknown", HALF, "fruit kind=plum mass_g=500", "degas", LATER, capacity_l=None),
    Trip("advice", "fruit_unknown", HALF, "fruit kind=starfruit mass_g=300", "fruit kind=plum mass_g=300", LATER),
    Trip("advice", "hot_fruit", HALF, "fruit kind=plum mass_g=300 treatment=simmered",
         "fruit kind=plum mass_g=300 treatment=frozen", LATER),
    Trip("advice", "low_acid_fruit", HALF, "fruit kind=fig mass_g=300", "fruit kind=plum mass_g=300", LATER),
    Trip("advice", "headspace", DRY, "rack volume_l=3.9 into='Demijohn 1'", "rack into='Jug' volume_l=4.0"),
    Trip("advice", "sulfite_high", DRY, "sulfite metabisulfite_g=0.6 ph=3.4", "sulfite metabisulfite_g=0.35 ph=3.4"),
    Trip("advice", "sulfite_while_live", HALF, "sulfite metabisulfite_g=0.3 ph=3.4", "degas", LATER),
    Trip("advice", "sulfite_short", DRY, "sulfite metabisulfite_g=0.05 ph=3.4", "sulfite metabisulfite_g=0.35 ph=3.4"),
    Trip("advice", "sorbate_short", SULFITED, "sorbate sorbate_g=0.1 ph=3.4", "sorbate sorbate_g=0.75 ph=3.4"),
    Trip("advice", "sorbate_ph_unknown", SULFITED.replace(", ph = 3.6", "").replace(", ph = 3.4", ""),
         "sorbate sorbate_g=0.75", "sorbate sorbate_g=0.75 ph=3.4"),
    Trip("advice", "sweeten_unstabilised", SULFITED, "sweeten honey_g=100", "feed honey_g=1"),
    Trip("advice", "sweeten_too_soon", KEPT, "sweeten honey_g=100", "degas"),
    Trip("advice", "plastic_bottles", WATCHED, "bottle count=4 size_ml=500 closure='plastic squeeze cap'",
         STILL, WATCHED_BY),
    Trip("advice", "stopped_not_dry",
         calm(1.000) + '{ at = 2026-04-15T12:00:00Z, did = "read", sg = 1.000, temp_c = 19 }\n', STILL,
         "note text='a month more'", "2026-04-15T18:00:00Z"),
    Trip("advice", "closure_of_age", WATCHED, "bottle count=4 size_ml=750 closure=bar_top",
         STILL, WATCHED_BY, plan="age_months = 120"),
    Trip("advice", "volume_unknown", '{ at = 2026-03-01T12:00:00Z, did = "pitch" }', "dose dap_g=1",
         "dose autolysate_g=1", EARLY, plan="no volume"),
    Trip("advice", "pitch_heated", MUST + '{ at = 2026-03-01T11:20:00Z, did = "heat", temp_c = 65, hours = 0.5 }\n',
         "pitch", "pitch temp_c=22", "2026-03-01T16:00:00Z"),
)  # fmt: skip


def head_of(trip: Trip) -> str:
    """The vessel's head, its schedule one of the trip's kind."""
    volume = "" if trip.plan == "no volume" else "volume_l = 4.0"
    own = "" if trip.plan == "no volume" else trip.plan
    yeast = "" if "yeast" in own else 'yeast = { demand = "medium", tolerance_abv = 14 }'
    container = "" if trip.capacity_l is None else f"capacity_l = {trip.capacity_l}"
    lines = ('name = "Rowan"', container, 'schedule = "one-kind"', "[plan]", volume, "gravity = 1.095", yeast, own)
    return "\n".join(line for line in lines if line)


SETTINGS = """
timezone = "UTC"
[[container]]
name = "Demijohn 1"
capacity_l = 5.0
[[container]]
name = "Jug"
capacity_l = 4.0
[[container]]
name = "Small jug"
capacity_l = 2.5
"""


def schedule_of(trip: Trip) -> str:
    """A schedule with steps of the trip's kind: one for each entry of the page that answers it, and `step-last`."""
    before = trip.page.count(f'did = "{trip.did}"')
    keys = [*(f"step-{at}" for at in range(before)), "step-last"]
    steps = (f'[[step]]\nkey = "{key}"\ndo = "{trip.did}"\nsay = "As written."\n' for key in keys)
    return 'title = "One kind"\n' + "\n".join(steps)
