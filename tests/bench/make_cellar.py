"""A large cellar for measurements: the same arguments give the same bytes.

python tests/bench/make_cellar.py DIR --vessels 1000 --entries 100 --past 900 [--today 2026-06-01]
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from math import exp
from pathlib import Path

from fermtui.daybook.places import create

TODAY = "2026-06-01"
FRUITS = ("plum", "raspberry", "cherry", "black currant", "apple", "quince")
SCHEDULES = ("two-doses", "fruit-when-dry", "four-small-doses", "fruit-to-bottle")
LETTERS = "0123456789abcdefghijklmnopqrstuvwxyz"
SETTINGS = """\
timezone = "Europe/Vienna"

[stock]
counted = 2026-05-20
honey_g = 12000
dap_g = 40
autolysate_g = 60
metabisulfite_g = 50
sorbate_g = 50
yeast_g = 20
fruit_g = { plum = 1500, raspberry = 500 }
closures = { screw_cap = 60, cork_high = 40 }

[[bottle]]
size_ml = 750
count = 48
"""
Line = tuple[datetime, str]


def make_cellar(folder: Path, vessels: int, entries: int, past: int, today: str = TODAY) -> Path:
    """Write the cellar into `folder`, which must hold none; `past` of the vessels are put away. About 1 ms each."""
    containers = "".join(
        f'\n[[container]]\nname = "Demijohn {number}"\ncapacity_l = 5.4\n' for number in range(vessels - past)
    )
    create(folder, SETTINGS + containers)
    now = datetime.fromisoformat(today).replace(hour=10, tzinfo=UTC)
    for number in range(vessels):
        put_away = number < past
        chance = random.Random(number)
        age_days = chance.randrange(400, 1500) if put_away else chance.randrange(5, 260)
        name = f"{'old' if put_away else 'batch'}-{number:04d}"
        place = folder / ("past" if put_away else "vessels") / name
        place.mkdir()
        (place / "vessel.toml").write_text(head(number, name, chance), "utf-8")
        lines = sorted(story(number, entries, now - timedelta(days=age_days), chance))
        stands = [line for line in lines if line[0] <= now][:entries]
        (place / "daybook.toml").write_text("".join(written(stands, chance)), "utf-8")
    return folder


def head(number: int, name: str, chance: random.Random) -> str:
    """A vessel.toml."""
    fruit = f'fruit = {{ kind = "{FRUITS[number % 6]}", mass_g = 500, treatment = "frozen" }}\n' if number % 2 else ""
    return (
        f'name = "{name.title()}"\ncontainer = "Demijohn {number}"\ncapacity_l = 5.4\n'
        f'schedule = "{SCHEDULES[number % 4]}"\n\n[plan]\nvolume_l = 4.2\n'
        f"gravity = {gravity(number)}\nend = 1.000\ntemp_c = {chance.randrange(17, 23)}\n"
        f'yeast = {{ name = "yeast {number % 3}", demand = "medium", tolerance_abv = 14 }}\n'
        f"doses = {{ dap_g = 2.2, autolysate_g = 4.0 }}\n{fruit}"
    )


def gravity(number: int) -> float:
    """An original gravity from 1.070 to 1.109."""
    return round(1.070 + number % 40 / 1000, 3)


def story(number: int, entries: int, start: datetime, chance: random.Random) -> Iterator[Line]:
    """One batch from mixing to the tastings: its milestones, filled up with readings and notes to `entries` lines."""
    og = gravity(number)
    pace = chance.uniform(0.18, 0.35)

    def at(days: float, minute: int = 0) -> datetime:
        return (start + timedelta(days=days, minutes=minute)).replace(microsecond=0)

    milestones: list[Line] = [
        (at(0), 'did = "mix", volume_l = 4.2, honey_g = 1350'),
        (at(0, 5), f'did = "read", sg = {og}, temp_c = 21.0'),
        (at(0, 10), f'did = "pitch", yeast = "yeast {number % 3}", yeast_g = 2.5, temp_c = 20.5'),
        (at(2), 'did = "dose", task = "dose-1", dap_g = 1.1, autolysate_g = 2.0'),
        (at(5), 'did = "dose", task = "dose-2", dap_g = 1.1, autolysate_g = 2.0'),
        (at(75), 'did = "rack", volume_l = 3.9'),
        (at(130), 'did = "sulfite", metabisulfite_g = 0.3, ph = 3.4'),
        (at(150), 'did = "bottle", count = 5, size_ml = 750, closure = "screw_cap"'),
        (at(241), 'did = "taste", look = "clear", smell = "honey, plum", taste = "round", score = 15.5'),
        (at(333), 'did = "taste", look = "bright", taste = "better than in spring", score = 16'),
        (at(340), 'did = "open", count = 5, why = "drunk"'),
    ]
    if number % 2:
        milestones.append((at(45), f'did = "fruit", kind = "{FRUITS[number % 6]}", mass_g = 500, treatment = "frozen"'))
        milestones.append((at(66), 'did = "pull", what = "fruit", loss_l = 0.2'))
    yield from milestones
    left = max(0, entries - len(milestones))
    readings = max(1, left * 2 // 3)
    for count in range(readings):
        day = 1 + 148 * (count / readings) ** 1.5
        sg = 0.999 + (og - 0.999) * exp(-pace * max(0.0, day - 1.5)) + chance.gauss(0, 0.0003)
        yield at(day, 15), f'did = "read", sg = {min(sg, og):.4f}, temp_c = {chance.uniform(18, 22):.1f}'
    for count in range(left - readings):
        day = 3 + 140 * count / (left - readings)
        yield at(day, 30), f'did = "note", text = "airlock {count}: bubbles now and then"'


def written(lines: list[Line], chance: random.Random) -> Iterator[str]:
    """The lines of a daybook, as the program writes them."""
    for at, fields in lines:
        tail = "".join(chance.choices(LETTERS, k=6))
        yield f"{at:%Y%m%dT%H%M%S}000-{tail} = {{ at = {at.isoformat()}, {fields} }}\n"


def main() -> None:
    """Read the words of the call."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--vessels", type=int, default=1000)
    asked.add_argument("--entries", type=int, default=100, help="lines in each daybook that has lived long enough")
    asked.add_argument("--past", type=int, default=900, help="how many of the vessels are put away")
    asked.add_argument("--today", default=TODAY)
    words = asked.parse_args()
    make_cellar(words.folder, words.vessels, words.entries, words.past, words.today)
    print(f"{words.vessels} vessels, {words.past} of them past, in {words.folder}")


if __name__ == "__main__":
    main()
