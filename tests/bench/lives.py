"""Lives of meads lived through the commands: every day the maker looks at what is due and does it, or not quite.

    python tests/bench/lives.py --lives 500 --seed 7 [--days 300]

Prints how often each law was broken (each is to be 0), and figures. A life names its seed, to be lived again.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[1] / "lib"))
sys.path.insert(0, str(HERE.parents[2]))

from fermtui.cli.main import run  # noqa: E402
from fermtui.daybook.head import KEEPS  # noqa: E402
from fermtui.must.bottles import pressure_bar_excess  # noqa: E402
from life import KINDS, Ferment  # noqa: E402 - found beside this file

ZONE = timezone(timedelta(hours=1))
START = datetime(2026, 1, 5, 19, 0, tzinfo=ZONE)
LAWS = (
    "bottled live", "due and refused", "no act within reach", "open after the end", "flap without an entry",
    "nitrogen above plan", "failed",
    "bottled live, with its pressure said",
)  # fmt: skip
LIVE_G_PER_L = 4.0
SAID = "stopped, not that it is dry"  # what no reading can tell from an end is let pass with this word: told apart
OVERTAKEN = ("is done already", "is left out", "has no task 'trouble-")  # by what was written a moment before: no fault
BEHAVIOURS = (
    "prompt", "prompt", "late", "forgetful", "eager", "doubles", "racks early", "weeks away", "back-dates", "splits",
    "second fruit", "reads daily", "reads seldom", "coarse hydrometer", "noisy eye", "skips", "feeds",
)  # fmt: skip
SCHEDULES = (
    "two-doses", "four-small-doses", "fruit-when-dry", "fruit-to-bottle", "fruit-from-start", "light-session",
    "strong-step-fed", "cyser", "spiced",
)  # fmt: skip


SWEET_TOO = ("two-doses", "four-small-doses", "fruit-when-dry", "spiced", "light-session")
BEGINS = {"light-session": (1.045, 1.060), "short-mead": (1.035, 1.050), "strong-step-fed": (1.105, 1.120)}
GLASSES = 4  # weeks in which a mead that is kept cold is drunk


@dataclass
class Life:
    """One vessel, its maker and what went wrong. `broken` is (law, day, what)."""

    seed: int
    schedule: str
    behaviour: str
    kind: str
    sweet: bool
    keep: str | None = None  # how this maker keeps a sweet one that no salts hold
    broken: list[tuple[str, int, str]] = field(default_factory=list)
    bottled_day: int | None = None
    calm_day: int | None = None
    first_bottle_due: int | None = None
    held_days: int = 0  # days of true calm on which a guard, not the schedule, kept the bottling back
    acts: int = 0
    finished: bool = False
    drunk_up: bool = False
    first_due: dict[str, int] = field(default_factory=dict)  # of what comes before fruit, and of the fruit: the day
    log: list[str] = field(default_factory=list)

    def breaks(self, law: str, day: int, what: str) -> None:
        self.broken.append((law, day, what))

    @property
    def name(self) -> str:
        sweet = f", sweet, {self.keep}" if self.sweet else ""
        return f"{self.seed}: {self.schedule}, {self.behaviour}, {self.kind}{sweet}"


class Maker:
    """Lives with one vessel day by day."""

    def __init__(self, life: Life, folder: Path, days: int) -> None:
        self.life, self.folder, self.days = life, folder, days
        self.rng = random.Random(life.seed)
        self.resolution = 0.002 if life.behaviour == "coarse hydrometer" else 0.001
        self.noise = 0.001 if life.behaviour == "noisy eye" else 0.0005
        self.og = self._og()
        self.volume_l = self.rng.choice((4.0, 4.5, 9.0))
        self.true: Ferment | None = None
        self.others: dict[str, Ferment] = {}
        self.away = range(0)
        self.states: dict[str, tuple[str, bool]] = {}
        self.wrote = True
        self.idle = 0
        self.dap_g = 0.0
        self.planned_dap_g: float | None = None
        self.skipped: set[str] = set()
        self.warned = False
        self.drunk = 0
        self.unheated_since: int | None = None

    def _og(self) -> float:
        low, high = BEGINS.get(self.life.schedule, (1.075, 1.112))
        return round(self.rng.uniform(low, high), 3)

    # --- the commands ---

    def command(self, *words: str) -> tuple[int, str, str]:
        """Exit status, output and errors of one command."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                status = run([*words, "--cellar", str(self.folder)])
            except SystemExit as stop:
                status = int(stop.code or 0)
        return status, out.getvalue(), err.getvalue()

    def write(self, at: datetime, *words: str) -> tuple[int, str, str]:
        answer = self.command(*words, "--on", at.isoformat())
        self.life.log.append(f"{at:%m-%d %H:%M} {' '.join(words)} -> {answer[0]} {answer[2].strip()[:200]}")
        if answer[0] == 0:
            self.wrote = True
            self.life.acts += 1
        elif "Traceback" in answer[2] or (answer[0] != 3 and not any(words in answer[2] for words in OVERTAKEN)):
            self.life.breaks("failed", (at - START).days, f"{' '.join(words)}: {answer[2].strip()[:160]}")
        return answer

    def due(self, at: datetime) -> list[dict[str, Any]]:
        status, out, err = self.command("due", "--json", "--on", at.isoformat())
        if status:
            self.life.breaks("failed", (at - START).days, f"due: {err[:160]}")
            return []
        tasks: list[dict[str, Any]] = json.loads(out)["tasks"]
        return [task for task in tasks if task["vessel"] == "mead"]

    # --- a life ---

    def live(self) -> Life:
        words = ["start", "Mead", f"--volume={self.volume_l}L", f"--gravity={self.og}"]
        words.append(f"--schedule={self.life.schedule}")
        if "fruit" in self.life.schedule:
            words += ["--fruit=plum", f"--mass={120 * self.volume_l:.0f}g"]
        if self.life.sweet:
            words += [f"--sweet={self.rng.choice((1.010, 1.015, 1.020))}"]
        if self.life.schedule == "spiced":
            words += ["--spice=cinnamon"]
        if self.life.schedule == "cyser":
            words += [f"--juice={self.volume_l / 2}L"]
        status, _, err = self.write(START, *words)
        if status:
            self.life.log.append(err)
            return self.life
        if self.life.behaviour == "weeks away":
            begin = self.rng.randrange(8, 40)
            self.away = range(begin, begin + self.rng.randrange(10, 30))
        for day in range(self.days):
            if self._over(day):
                break
        return self.life

    def _over(self, day: int) -> bool:
        now = START + timedelta(days=day, minutes=self.rng.randrange(0, 90))
        if self.true is not None:
            self.true.until((now - self.pitched).total_seconds() / 86400.0)
            if self.life.calm_day is None and self.true.to_come_g_per_l < 1.0:
                self.life.calm_day = day
        if day in self.away or (self.life.behaviour == "late" and day % 3):
            return False
        tasks = self.due(now)
        self._laws(day, tasks)
        self.wrote = False
        if self.true is not None and self.life.bottled_day is None:
            before = self.life.acts
            self._own_ways(now)
            if self.life.acts > before:
                tasks = self.due(now)
        for task in tasks:
            if self._wants(task, day):
                self._do(task, day, now)
        if self.unheated_since is not None and day > self.unheated_since:
            self.life.breaks("bottled live", day, "not heated on the day of bottling")
            self.unheated_since = None
        if self.drunk >= GLASSES:
            self.write(now, "write", "mead", "empty", "reason=drunk")
            self.life.drunk_up = self.life.finished = True
            return True
        return self.life.bottled_day is not None and day > self.life.bottled_day + 200

    def _laws(self, day: int, tasks: Sequence[dict[str, Any]]) -> None:
        states = {task["task"]: (task["state"], task["likely"] is not None) for task in tasks}
        if not self.wrote:
            for key, (state, dated) in states.items():
                before = self.states.get(key)
                if before is None:
                    continue
                if before[0] in ("due", "late") and state in ("waiting", "coming") and not key.startswith("ask-"):
                    self.life.breaks("flap without an entry", day, f"{key}: {before[0]} -> {state}")
                if before[1] and not dated and state in ("waiting", "coming"):
                    self.life.breaks("flap without an entry", day, f"{key}: lost its date")
        self.states = states
        for key in ("thaw", "fruit"):
            if states.get(key, ("",))[0] in ("due", "late"):
                self.life.first_due.setdefault(key, day)
        if self.life.bottled_day is None:
            reach = [t for t in tasks if t["state"] in ("due", "late") or (t["state"] == "coming" and t["likely"])]
            self.idle = 0 if reach else self.idle + 1
            if self.idle == 14:
                self.life.breaks("no act within reach", day, f"stage of {self.true.must.sg if self.true else 0:.3f}")
            held = any(task["do"] == "bottle" and task["why"].startswith("waits:") for task in tasks)
            self.life.held_days += held and self.life.calm_day is not None
            for task in tasks:
                if task["do"] == "bottle" and task["state"] in ("due", "late") and self.life.first_bottle_due is None:
                    self.life.first_bottle_due = day
        else:
            for task in tasks:
                still_open = task["state"] in ("due", "late") and task["do"] not in (
                    "taste", "open", "chore", "note", "read", "chill", "heat", "bottle",
                )  # fmt: skip
                if still_open:
                    self.life.breaks("open after the end", day, task["task"])

    def _wants(self, task: dict[str, Any], day: int) -> bool:
        state, way = task["state"], self.life.behaviour
        if way == "eager" and state == "coming" and task["likely"] and task["do"] in ("dose", "rack", "fruit"):
            ahead = datetime.fromisoformat(task["likely"]) - (START + timedelta(days=day))
            return ahead < timedelta(days=2) and self.rng.random() < 0.5
        if state not in ("due", "late"):
            return False
        if way == "forgetful":
            return self.rng.random() < 0.35
        if way == "skips" and task["do"] in ("aerate", "punch", "chore", "dose") and self.rng.random() < 0.3:
            self.skipped.add(task["task"])
        return True

    def _own_ways(self, now: datetime) -> None:
        """What this maker does unasked."""
        true, way = self.true, self.life.behaviour
        assert true is not None
        since = (now - self.pitched).days
        if way == "reads daily" and since >= 1:
            self._read(now)
        elif way == "reads seldom":
            if since % 17 == 16:
                self._read(now)
        elif since in (3, 6, 9, 13, 18, 25):
            self._read(now)
        if way == "racks early" and since == 8:
            kept = true.volume_l * 0.97
            if self.write(now, "write", "mead", "rack", f"volume_l={kept:.2f}")[0] == 0:
                true.keep(kept)
        second = way == "second fruit" and since in (30, 31) and self.life.schedule in ("two-doses", "fruit-when-dry")
        if second and self.write(now, "write", "mead", "fruit", "kind=plum", "mass_g=300")[0] == 0:
            true.fruit(300.0)
        if way == "feeds" and since == 12 and self.write(now, "write", "mead", "feed", "honey_g=200")[0] == 0:
            true.honey(200.0)
        splits = way == "splits" and since == 20 and true.volume_l > 3.5
        if splits and self.write(now, "write", "mead", "split", "into=half", "volume_l=1.5")[0] == 0:
            true.keep(true.volume_l - 1.5)
        if way == "back-dates" and since in (10, 40):
            self._read(now, at=now - timedelta(days=1))

    def _read(self, now: datetime, at: datetime | None = None) -> None:
        true = self.true
        if true is None:
            sg, temp = self.og, 20.0
        else:
            sg, temp = true.read(self.resolution, self.noise), true.temp_c
        words = ["read", "mead", f"{sg:.4f} {temp:.0f}C"]
        if at is not None:
            words.append(f"--at={at.isoformat()}")
        if self.write(now, *words)[0] == 3:  # looked twice
            self.write(now, *words, "override=read twice")

    def _do(self, task: dict[str, Any], day: int, now: datetime) -> None:
        key, did, amounts = task["task"], task["do"], task["amounts"]
        if key in self.skipped:
            self.write(now, "write", "mead", "skip", f"task={key}")
            self.skipped.discard(key)
            return
        if did == "read":
            self._answer_reading(task, now)
            return
        words = ["tick", "mead", key]
        if key == "ask-keep":
            words += [f"what={self.life.keep}"]
        if did == "dose" and self.life.behaviour == "doubles" and amounts.get("dap_g"):
            words += [f"{name}={2 * grams:.2f}" for name, grams in amounts.items() if name.endswith("_g")]
        if did == "pitch":
            words += ["temp_c=20"]
        if did == "end":
            words += ["reason=nothing moves it"]
        if did == "forced_test" and self.true is not None:
            end = round(self.true.end_sg + self.rng.gauss(0.0, self.noise), 3)
            words += [f"sg={end}", "days=4", "temp_c=25"]
        if did == "taste":
            words += ["score=14"]
        if did == "bottle":
            cap = "crown cap" if amounts.get("glass") in ("sparkling", "beer") else "screw cap"
            words += [f"closure={cap}"] if "closure" not in amounts else []
        status, _, err = self.write(now, *words, *(["--json"] if did == "dose" else []))
        self.warned = SAID in err
        if status == 3 and task["state"] in ("due", "late") and self.life.behaviour != "doubles":
            self.life.breaks("due and refused", day, f"{key}: {err.strip()[:140]}")
        if status == 0:
            self.drunk += key == "drink"
            self._happens(did, amounts, day, now)

    def _answer_reading(self, task: dict[str, Any], now: datetime) -> None:
        if task["what"] == "ph":
            ph = self.true.ph if self.true else 3.5
            sg = self.true.read(self.resolution, self.noise) if self.true else self.og
            if task["task"].startswith("ask-"):
                self.write(now, "read", "mead", f"pH {ph}")
            else:
                status, _, _ = self.write(now, "tick", "mead", task["task"], f"sg={sg}", f"ph={ph}", "temp_c=20")
                if status == 3:
                    again = ("tick", "mead", task["task"], f"sg={sg}", f"ph={ph}", "temp_c=20", "override=read twice")
                    self.write(now, *again)
            return
        if task["task"].startswith("ask-"):
            self._read(now)
            return
        sg = self.true.read(self.resolution, self.noise) if self.true else self.og
        words = ("tick", "mead", task["task"], f"sg={sg}", "temp_c=20")
        if self.write(now, *words)[0] == 3:
            self.write(now, *words, "override=read twice")

    def _happens(self, did: str, amounts: dict[str, Any], day: int, now: datetime) -> None:
        if did == "pitch":
            self._pitches(now)
            return
        true = self.true
        if true is None:
            return
        if did == "rack" and amounts.get("volume_l"):
            true.keep(min(true.volume_l, float(amounts["volume_l"])))
        elif did in ("feed", "sweeten") and amounts.get("honey_g"):
            true.honey(float(amounts["honey_g"]))
        elif did == "fruit" and amounts.get("mass_g"):
            true.fruit(float(amounts["mass_g"]))
        elif did == "sulfite" and amounts.get("metabisulfite_g"):
            true.sulfite_mg_per_l += 0.5 * 576.0 * float(amounts["metabisulfite_g"]) / true.volume_l
        elif did == "sorbate" and amounts.get("sorbate_g"):
            true.sorbate_mg_per_l += 1000.0 * float(amounts["sorbate_g"]) / true.volume_l
        elif did == "dose" and self.life.behaviour != "doubles":
            self.dap_g += float(amounts.get("dap_g") or 0.0)
        elif did == "chill":
            true.temp_c = float(amounts.get("temp_c") or 4.0)
        elif did == "heat" and 60.0 * float(amounts["hours"]) * 1.393 ** (float(amounts["temp_c"]) - 60.0) >= 50.0:
            true.heated, self.unheated_since = True, None
        elif did == "bottle" and self.life.bottled_day is None:
            self.life.bottled_day, self.life.finished = day, True
            if true.alive and true.to_come_g_per_l > LIVE_G_PER_L and not self._holds(true, amounts):
                if self._is_to_be_heated():
                    self.unheated_since = day
                    return
                left = f"{true.to_come_g_per_l:.1f} g/L at {true.must.sg:.4f}, read last {self._last_readings()}"
                self.life.breaks("bottled live, with its pressure said" if self.warned else "bottled live", day, left)

    def _pitches(self, now: datetime) -> None:
        if self.true is not None:
            self.true.restart(self.rng)
            return
        self.pitched = now
        self.true = Ferment.pitched(self.rng, self.life.kind, self.volume_l, self.og)

    @staticmethod
    def _holds(true: Ferment, amounts: dict[str, Any]) -> bool:
        """Whether the glass bears all that is to come, its gas counted in a room of 30 °C."""
        limit_bar = {"sparkling": 6.0, "beer": 3.0}.get(str(amounts.get("glass")), 0.0)
        primed = 1000.0 * float(amounts.get("priming_g") or 0.0) / 1000.0 / true.volume_l
        return pressure_bar_excess(true.to_come_g_per_l + primed, 30.0) <= limit_bar

    def _is_to_be_heated(self) -> bool:
        return self.life.sweet and self.life.keep == "heat" and self.true is not None and self.true.honeyed

    def _last_readings(self) -> str:
        return "; ".join(line for line in self.life.log if " read " in line or " sg=" in line)[-200:]


def lived(seed: int, days: int, schedule: str | None = None) -> Life:
    """One life, drawn from its seed."""
    rng = random.Random(seed * 7919 + 1)
    named = schedule or rng.choice(SCHEDULES)
    sweet = rng.random() < (0.4 if named in SWEET_TOO else 0.0)
    life = Life(seed, named, rng.choice(BEHAVIOURS), rng.choice(KINDS), sweet, rng.choice(KEEPS))
    with tempfile.TemporaryDirectory(prefix="fermtui-life-") as place:
        os.environ["FERMTUI_CACHE"] = str(Path(place) / "cache")
        folder = Path(place) / "cellar"
        (folder / "vessels").mkdir(parents=True)
        (folder / "cellar.toml").write_text('timezone = "Europe/Vienna"\n', "utf-8")
        return Maker(life, folder, days).live()


def report(lives: Sequence[Life]) -> None:
    """Print the laws and the figures."""
    for law in LAWS:
        broken = [(life, day, what) for life in lives for name, day, what in life.broken if name == law]
        print(f"{law:<30} {len({id(life) for life, _, _ in broken}):>4} lives, {len(broken)} times")
        for life, day, what in broken[:6]:
            print(f"    {life.name}: day {day}: {what}")
    bottled = [life for life in lives if life.bottled_day is not None]
    waits = sorted(
        life.first_bottle_due - life.calm_day
        for life in bottled
        if life.first_bottle_due is not None and life.calm_day is not None and not life.sweet
    )
    print(f"bottled {len(bottled)} of {len(lives)}; by kind {Counter(life.kind for life in bottled)}")
    sweet = [life for life in lives if life.sweet]
    drunk = sum(life.drunk_up for life in sweet)
    print(f"sweet ones bottled {sum(life.sweet for life in bottled)}, drunk from the cold {drunk}, of {len(sweet)}")
    if waits:
        print(f"days from true calm to bottle due: median {waits[len(waits) // 2]}, most {waits[-1]}")
    held = sorted(life.held_days for life in bottled if not life.sweet)
    if held:
        print(f"of those a guard kept it back: median {held[len(held) // 2]}, most {held[-1]}")
    ahead = sorted(life.first_due["fruit"] - life.first_due["thaw"] for life in lives if len(life.first_due) == 2)
    if ahead:
        same = sum(days <= 0 for days in ahead)
        half = ahead[len(ahead) // 2]
        print(f"thawing asked before the fruit: median {half} days, most {ahead[-1]}, same day {same} of {len(ahead)}")
    print(f"acts a week: {sum(life.acts for life in lives) / max(1, len(lives)) / 43:.1f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lives", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--days", type=int, default=300)
    parser.add_argument("--schedule")
    parser.add_argument("--log", action="store_true", help="print what was written")
    given = parser.parse_args()
    began = time.monotonic()
    lives = [lived(given.seed + at, given.days, given.schedule) for at in range(given.lives)]
    if given.log:
        for life in lives:
            print(life.name, *life.log, sep="\n  ")
    report(lives)
    print(f"{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
