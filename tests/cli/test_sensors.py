"""Readings that come by themselves: any log, taken in once, thinned, taken back; and the sensors of cellar.toml."""

from __future__ import annotations

import io
import math
import random
import sys
import threading
import urllib.request
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from http.server import HTTPServer
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]
START = datetime(2026, 4, 10, 10, 0, tzinfo=UTC)
HEAD = 'name = "Rowan"\n[plan]\nvolume_l = 4.0\ngravity = 1.095\n'
PAGE = """
{ at = 2026-04-10T10:00:00+02:00, did = "mix", volume_l = 4.0, honey_g = 1200 }
{ at = 2026-04-10T10:10:00+02:00, did = "read", sg = 1.0950, temp_c = 20 }
{ at = 2026-04-10T10:20:00+02:00, did = "pitch", yeast_g = 2 }
"""
ON = ("--on", "2026-06-01")


@pytest.fixture
def rowan(cellar: Cellar) -> Path:
    return cellar({"vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": PAGE})


def course(days: float) -> float:
    return 1.0 + 0.095 * math.exp(-days / 7.0)


def rows(count: int, form: Callable[[datetime, float], str], *, head: str, minutes: int = 15, seed: int = 2) -> str:
    rng = random.Random(seed)
    lines = [head]
    for at in range(count):
        moment = START + timedelta(minutes=minutes * at)
        lines.append(form(moment, course(at * minutes / 1440) + rng.gauss(0.0, 0.0008)))
    return "\n".join(lines) + "\n"


def plain_log(count: int, **more: Any) -> str:
    return rows(count, lambda at, sg: f"{at.isoformat()},{sg:.4f},20.1", head="time,SG,temp", **more)


def saved(tmp_path: Path, text: str, name: str = "float.csv") -> str:
    path = tmp_path / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, "utf-8")
    return str(path)


def daybook(folder: Path, vessel: str = "rowan") -> list[str]:
    return (folder / f"vessels/{vessel}/daybook.toml").read_text("utf-8").splitlines()


def test_a_log_becomes_two_readings_a_day_and_a_second_time_nothing(rowan: Path, fermtui: Any, tmp_path: Path) -> None:
    path = saved(tmp_path, plain_log(960))
    ran = fermtui("import", "rowan", path, *ON)
    assert ran.status == 0
    assert ran.out.startswith("rowan: 20 readings by float from 960 rows")
    assert ran.out.count("\n") <= 3
    before = daybook(rowan)
    assert len(before) == 3 + 20
    assert 'did = "read", sg = 1.0' in before[-1]
    assert 'by = "float", count = ' in before[-1]
    assert "spread_sg = " in before[-1]
    again = fermtui("import", "rowan", path, *ON)
    assert again.out.startswith("rowan: 0 readings by float from 960 rows; 20 there already")
    assert daybook(rowan) == before


@pytest.mark.usefixtures("rowan")
def test_the_readings_lie_on_the_course_and_move_the_gravity(fermtui: Any, tmp_path: Path) -> None:
    fermtui("import", "rowan", saved(tmp_path, plain_log(960)), *ON)
    seen = fermtui("show", "rowan", *ON, "--json").json
    logged = [one for one in seen["readings"] if one["by"] == "float"]
    assert len(logged) == 20
    for one in logged:
        days = (datetime.fromisoformat(one["at"]) - START) / timedelta(days=1)
        assert one["sg"] == pytest.approx(course(days), abs=0.0015)
    assert seen["gravity"] == pytest.approx(course(9.95), abs=0.0015)
    text = fermtui("show", "rowan", *ON).out
    assert "20 readings by float" in text
    assert len(text.splitlines()) < 90


def test_rows_as_they_come_in_give_the_same_as_all_at_once(rowan: Path, fermtui: Any, tmp_path: Path) -> None:
    whole = plain_log(480).splitlines()
    for part in (100, 101, 300, 480):
        clock = (START + timedelta(minutes=15 * part)).isoformat()
        path = saved(tmp_path, "\n".join(whole[: part + 1]) + "\n")
        fermtui("import", "rowan", path, "--by", "float", "--on", clock)
    bit_by_bit = daybook(rowan)
    fermtui("strike", "rowan", "--by", "float", *ON)
    again = fermtui("import", "rowan", saved(tmp_path, "\n".join(whole)), "--by", "float", "--again", *ON)
    assert again.out.startswith("rowan: 10 readings")
    fresh = [line.partition("= ")[2] for line in daybook(rowan)[-10:]]
    assert [line.partition("= ")[2] for line in bit_by_bit[3:13]] == fresh


def test_from_standard_input(rowan: Path, fermtui: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(plain_log(200).encode())))
    assert fermtui("import", "rowan", "-", *ON).out.startswith("rowan: 5 readings by sensor from 200 rows")
    assert len(daybook(rowan)) == 8


@pytest.mark.parametrize(("head", "form", "options"), [
    ("created_at,field1,field2", lambda at, sg: f"{at.isoformat()},{sg:.4f},20",
     ("--columns", "time=created_at,sg=field1,temp=field2")),
    ("epoch;Dichte;Temperatur", lambda at, sg: f"{at.timestamp():.0f};{sg:.4f};20".replace(".", ","), ()),
    ("time,density", lambda at, sg: f"{1000 * at.timestamp():.0f},{sg:.4f}", ()),
    ("Datum;Uhrzeit;SG (20°C)", lambda at, sg: f"{at:%d.%m.%Y};{at:%H:%M};{sg:.4f}", ()),
    ("Date,Gravity", lambda at, sg: f"{at:%d/%m/%Y %H:%M:%S},{sg:.4f}", ("--dates", "day-first")),
    ("Date,Gravity", lambda at, sg: f"{at:%m/%d/%Y %I:%M %p},{sg:.4f}", ("--dates", "month-first")),
    ("fecha hora,densidad", lambda at, sg: f"{at:%Y-%m-%d %H:%M:%S} UTC,{1000 * sg:.1f}", ()),
    ("Timepoint,SG", lambda at, sg: f"{(at - datetime(1899, 12, 30, tzinfo=UTC)) / timedelta(days=1):.6f},{sg:.4f}",
     ()),
    ("time,density kg/m3", lambda at, sg: f"{at.isoformat()},{998.2071 * sg:.2f}", ()),
    ("time,value", lambda at, sg: f"{at.isoformat()},{1000 * (sg - 1):.1f}",
     ("--columns", "sg=value", "--unit", "oechsle")),
    ("time,plato", lambda at, sg: f"{at.isoformat()},{260.4 - 260.4 / sg:.2f}", ()),
])  # fmt: skip
def test_times_and_columns_of_loggers(
    rowan: Path, fermtui: Any, tmp_path: Path, head: str, form: Callable[[datetime, float], str],
    options: tuple[str, ...],
) -> None:  # fmt: skip
    ran = fermtui("import", "rowan", saved(tmp_path, rows(200, form, head=head)), *options, *ON, "--json")
    assert (ran.status, ran.err) == (0, "")
    assert (ran.json["written"], ran.json["left_out"]["unreadable"]) == (5, 0)
    line = daybook(rowan)[3]
    days = (datetime.fromisoformat(line.split("at = ")[1].split(",")[0]) - START) / timedelta(days=1)
    assert -0.1 < days < 0.5
    # Plato by the one-parameter form (J. Buhl 2023) is 0.06 degrees off at most, a quarter of a point.
    assert float(line.split("sg = ")[1].split(",")[0]) == pytest.approx(course(days), abs=0.0025)


def test_a_slashed_date_is_refused_with_what_to_say(rowan: Path, fermtui: Any, tmp_path: Path) -> None:
    text = rows(200, lambda at, sg: f"{at:%d/%m/%Y %H:%M},{sg:.4f}", head="date,sg")
    ran = fermtui("import", "rowan", saved(tmp_path, text), "--by", "float", *ON)
    assert ran.status == 1
    assert "--dates day-first" in ran.out
    assert len(daybook(rowan)) == 3


@pytest.mark.usefixtures("rowan")
def test_what_is_left_out_is_counted_and_not_listed(fermtui: Any, tmp_path: Path) -> None:
    lines = plain_log(480).splitlines()
    early = [f"{(START - timedelta(days=3, minutes=at)).isoformat()},1.001,20" for at in range(30)]
    odd = [f"{(START + timedelta(hours=30, minutes=at)).isoformat()},1.2,20" for at in range(5)]
    ahead = [f"{(START + timedelta(days=300, minutes=at)).isoformat()},1.01,20" for at in range(7)]
    broken = ["not a time,1.05,20", "2026-04-12T10:00:00+00:00,thick,20"]
    path = saved(tmp_path, "\n".join([*lines, *early, *odd, *ahead, *broken]) + "\n")
    ran = fermtui("import", "rowan", path, *ON, "--json")
    left = ran.json["left_out"]
    assert (left["outside_of_the_mead"], left["to_come"], left["unreadable"]) == (30, 7, 2)
    assert 5 <= left["far_off"] <= 12
    text = fermtui("import", "rowan", path, *ON).out
    assert "30 from before it was mixed or after it was bottled" in text
    assert "2 that cannot be read (line 524: " in text
    assert text.count("\n") <= 3


@pytest.mark.usefixtures("rowan")
def test_a_bar_on_a_terminal_and_nothing_of_it_in_a_pipe(
    fermtui: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = saved(tmp_path, plain_log(5000))
    assert fermtui("import", "rowan", path, "--dry-run", *ON).err == ""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    drawn = fermtui("import", "rowan", path, "--dry-run", *ON).err
    assert "[#########               ] 2,000 of 5,000 rows" in drawn
    assert drawn.endswith("\r")  # and is wiped out in the end
    assert not drawn.split("\r")[-2].strip()


def test_a_dry_run_writes_nothing(rowan: Path, fermtui: Any, tmp_path: Path) -> None:
    ran = fermtui("import", "rowan", saved(tmp_path, plain_log(480)), "--dry-run", *ON)
    assert ran.out.startswith("rowan: 10 readings by float would be written from 480 rows")
    assert len(daybook(rowan)) == 3


@pytest.mark.usefixtures("rowan")
def test_all_of_a_sensor_is_taken_back_and_comes_again_when_asked(fermtui: Any, tmp_path: Path) -> None:
    path = saved(tmp_path, plain_log(480))
    fermtui("import", "rowan", path, *ON)
    assert fermtui("strike", "rowan", "--by", "float", *ON).out.startswith("rowan: took back 10 readings by float")
    assert all(one["by"] is None for one in fermtui("show", "rowan", *ON, "--json").json["readings"])
    assert "10 there already" in fermtui("import", "rowan", path, *ON).out
    assert fermtui("import", "rowan", path, "--again", *ON).out.startswith("rowan: 10 readings by float")
    assert "there already" in fermtui("import", "rowan", path, "--again", *ON).out
    ran = fermtui("strike", "rowan", "--by", "nobody", *ON)
    assert ran.status == 1
    assert "float" in ran.err


@pytest.mark.usefixtures("rowan")
def test_undo_takes_back_what_the_maker_wrote_and_not_what_was_logged(
    fermtui: Any, tmp_path: Path
) -> None:
    fermtui("write", "rowan", "note", "text=smells of bread", *ON)
    fermtui("import", "rowan", saved(tmp_path, plain_log(480)), *ON)
    assert "smells of bread" in fermtui("strike", "rowan", *ON).out


@pytest.mark.usefixtures("rowan")
def test_a_sensor_answers_no_step_that_asks_for_more_than_a_gravity(fermtui: Any, tmp_path: Path) -> None:
    head = tmp_path / "cellar/vessels/rowan/vessel.toml"
    head.write_text('schedule = "two-doses"\n' + HEAD, "utf-8")
    book = tmp_path / "cellar/vessels/rowan/daybook.toml"
    unread = [line for line in book.read_text("utf-8").splitlines() if "read" not in line]
    book.write_text("\n".join(unread) + "\n", "utf-8")
    early = [f"{(START - timedelta(minutes=90 - at)).isoformat()},1.0951,20" for at in range(60)]
    fermtui("import", "rowan", saved(tmp_path, plain_log(480) + "\n".join(early) + "\n"), *ON)
    due = fermtui("show", "rowan", "--on", "2026-04-15").out
    steps = due.split("steps\n")[1].split("\nreadings")[0]
    assert not [line for line in steps.splitlines() if "take a gravity" in line and line.strip().startswith("done")]


def test_the_record_tells_what_was_logged_in_a_line(rowan: Path, fermtui: Any, tmp_path: Path) -> None:
    fermtui("import", "rowan", saved(tmp_path, plain_log(960)), *ON)
    assert len(daybook(rowan)) == 23
    record = fermtui("record", "rowan", *ON).out
    assert "20 readings by float" in " ".join(record.split())
    readings = record.split("Readings\n")[1].split("\n\n")[0].splitlines()
    assert len(readings) == 1 + 1 + 11  # its head, the one by hand, and one for each day that was logged


def test_two_computers_that_take_in_one_log_write_the_same_lines(
    rowan: Path, fermtui: Any, tmp_path: Path
) -> None:
    path, before = saved(tmp_path, plain_log(480)), daybook(rowan)
    fermtui("import", "rowan", path, *ON)
    mine = daybook(rowan)
    (rowan / "vessels/rowan/daybook.toml").write_text("\n".join(before) + "\n")
    fermtui("import", "rowan", path, *ON)
    assert daybook(rowan) == mine


SENSORS = """timezone = "Europe/Vienna"
[[sensor]]
name = "float-1"
file = "{folder}/one.csv"
vessel = "rowan"
[[sensor]]
name = "float-2"
file = "{folder}/many"
columns = {{ time = "when", sg = "value", vessel = "beaker" }}
unit = "oechsle"
every_h = 6
"""


@pytest.fixture
def two(cellar: Cellar, tmp_path: Path) -> Path:
    logs = tmp_path / "logs"
    saved(tmp_path, plain_log(192), "logs/one.csv")
    for part, vessel in (("a", "rowan"), ("b", "Quince")):
        text = rows(
            96, lambda at, sg, vessel=vessel: f"{at.timestamp():.0f};{vessel};{1000 * (sg - 1):.1f}",  # type: ignore[misc]
            head="when;beaker;value",
        )  # fmt: skip
        (logs / "many").mkdir(exist_ok=True)
        saved(tmp_path, text, f"logs/many/{part}.csv")
    return cellar({
        "cellar.toml": SENSORS.format(folder=logs),
        "vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": PAGE,
        "vessels/quince/vessel.toml": HEAD.replace("Rowan", "Quince"), "vessels/quince/daybook.toml": PAGE,
    })  # fmt: skip


def test_all_sensors_of_the_cellar_each_into_its_vessel(two: Path, fermtui: Any) -> None:
    ran = fermtui("import", *ON)
    assert (ran.status, ran.err) == (0, "")
    assert [line.split(" from")[0] for line in ran.out.splitlines() if not line.startswith(" ")] == [
        "rowan: 4 readings by float-1", "quince: 4 readings by float-2", "rowan: 4 readings by float-2",
    ]  # fmt: skip
    assert len(daybook(two)) == 3 + 4 + 4
    assert len(daybook(two, "quince")) == 3 + 4
    again = fermtui("import", "--json", *ON).json["sensors"]
    assert [part["written"] for one in again for part in one["vessels"]] == [0, 0, 0]
    assert fermtui("import", "--by", "float-2", *ON).out.startswith("quince")


def test_one_sensor_that_cannot_be_read_hides_no_other(two: Path, fermtui: Any, tmp_path: Path) -> None:
    (tmp_path / "logs/one.csv").unlink()
    (tmp_path / "logs/many/c.csv").write_text("when;beaker;value\n1775815200;Nowhere;80\n")
    ran = fermtui("import", *ON)
    assert ran.status == 1
    assert "there is no file" in ran.err
    assert "there is no vessel 'Nowhere'" in ran.err
    assert len(daybook(two, "quince")) == 3 + 4


@pytest.mark.parametrize(("toml", "said"), [
    ('[[sensor]]\nname = "f"\nfile = "x.csv"\n', "a sensor needs vessel"),
    ('[[sensor]]\nname = "f"\n', "a sensor needs name and file"),
    ('[[sensor]]\nname = "f"\nfile = "x"\nvessel = "a"\ncolumns = { colour = "x" }\n', "columns has no 'colour'"),
    ('[[sensor]]\nname = "f"\nfile = "x"\nvessel = "a"\nunit = "ounces"\n', "unit"),
    ('[[sensor]]\nname = "f"\nfile = "x"\nvessel = "a"\n' * 2, "two sensors called 'f'"),
    ('[[sensor]]\nname = "f"\nfile = "x"\nvessel = "a"\nevery_h = 0\n', "every_h"),
])  # fmt: skip
def test_a_sensor_that_is_not_right_is_said_by_check(cellar: Cellar, fermtui: Any, toml: str, said: str) -> None:
    cellar({"cellar.toml": toml, "vessels/rowan/vessel.toml": HEAD})
    ran = fermtui("check")
    assert said in ran.out + ran.err


@pytest.mark.parametrize(("words", "said"), [
    (("--every", "0h"), "--every"), (("--every", "soon"), "--every"), (("--dates", "year"), "--dates"),
    (("--columns", "sg"), "--columns"), (("--columns", "smell=x"), "--columns"), (("--unit", "stones"), "--unit"),
])  # fmt: skip
def test_wrong_options(rowan: Path, fermtui: Any, tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    ran = fermtui("import", "rowan", saved(tmp_path, plain_log(60)), *words, *ON)
    assert ran.status == 2
    assert said in ran.err
    assert len(daybook(rowan)) == 3


@pytest.mark.usefixtures("rowan")
def test_import_without_a_sensor_says_what_to_do(fermtui: Any) -> None:
    ran = fermtui("import")
    assert ran.status == 1
    assert "[[sensor]]" in ran.err


def test_the_offset_is_told_with_its_error_and_taken_off_when_asked(
    cellar: Cellar, fermtui: Any, tmp_path: Path
) -> None:
    high = rows(960, lambda at, sg: f"{at.isoformat()},{sg + 0.004:.4f}", head="time,sg")
    toml = f'timezone = "UTC"\n[[sensor]]\nname = "f"\nfile = "{saved(tmp_path, high)}"\nvessel = "rowan"\n'
    by_hand = "".join(
        f'{{ at = {(START + timedelta(days=day)).isoformat()}, did = "read", sg = {course(day):.4f} }}\n'
        for day in (2, 4, 6, 8)
    )  # fmt: skip
    pages = {"cellar.toml": toml, "vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": PAGE + by_hand}
    cellar(pages)
    ran = fermtui("import", *ON)
    assert "f shows 4." in ran.out or "f shows 3." in ran.out
    assert "follow_hand = true" in ran.out
    told = fermtui("show", "rowan", *ON, "--json").json
    assert told["sensors"][0]["offset_sg"] == pytest.approx(0.004, abs=0.0008)
    assert not told["sensors"][0]["applied"]
    folder = tmp_path / "cellar"
    (folder / "cellar.toml").write_text(toml + "follow_hand = true\n")
    followed = fermtui("show", "rowan", *ON, "--json").json
    assert followed["sensors"][0]["applied"]
    assert told["gravity"] - followed["gravity"] == pytest.approx(0.004, abs=0.0008)
    assert "that is taken off" in fermtui("show", "rowan", *ON).out


def test_the_receiver_in_the_readme_writes_a_log_that_is_taken_in(
    cellar: Cellar, fermtui: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    code = readme.split("```python\n")[1].split("```")[0]
    assert len([line for line in code.splitlines() if line.strip()]) <= 10
    served: list[HTTPServer] = []
    monkeypatch.setattr(HTTPServer, "serve_forever", lambda self, _poll=0.5: served.append(self))
    monkeypatch.setattr(HTTPServer, "server_bind", _bind_anywhere)
    monkeypatch.chdir(tmp_path)
    exec(compile(code, "README.md", "exec"), {})
    (server,) = served
    poster = threading.Thread(target=_post, args=(server.server_port, (1.051, 1.050)))
    poster.start()
    for _ in range(2):
        server.handle_request()
    poster.join()
    server.server_close()
    written = (tmp_path / "float-1.csv").read_text()
    assert written.splitlines()[0] == "time,sg,temp"
    assert len(written.splitlines()) == 3
    now = datetime.now(UTC)
    page = PAGE.replace("2026-04-10T10", (now - timedelta(days=2)).strftime("%Y-%m-%dT%H")).replace("+02:00", "Z")
    folder = cellar({"vessels/rowan/vessel.toml": HEAD, "vessels/rowan/daybook.toml": page})
    later = (now + timedelta(days=1)).strftime("%Y-%m-%d %H:%M")
    ran = fermtui("import", "rowan", str(tmp_path / "float-1.csv"), "--by", "float-1", "--on", later)
    assert ran.status == 0
    assert "sg = 1.0505" in daybook(folder)[-1]


def _bind_anywhere(self: HTTPServer) -> None:
    self.server_address = ("127.0.0.1", 0)
    self.socket.bind(self.server_address)
    self.server_address = self.socket.getsockname()
    self.server_name, self.server_port = "localhost", self.server_address[1]


def _post(port: int, gravities: tuple[float, ...]) -> None:
    for gravity in gravities:
        body = f'{{"gravity": {gravity}, "temperature": 20.5}}'.encode()
        urllib.request.urlopen(f"http://127.0.0.1:{port}/", body, timeout=5).close()
