"""`fermtui bench` as a script and as a person call it."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fermtui.bench.table import SUMS
from fermtui.cli import bench
from fermtui.cli.args import split
from fermtui.cli.usage import BENCH


@pytest.fixture(autouse=True)
def no_cellar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No cellar of the machine's own speaks into these sums."""
    monkeypatch.setenv("FERMTUI_CELLAR", str(tmp_path / "none"))
    return tmp_path


def call(words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    status = bench.run(split(["bench", *words.split()], {"bench": bench.OPTIONS}), out, err)
    return status, out.getvalue(), err.getvalue()


def as_json(words: str) -> dict[str, Any]:
    status, out, err = call(f"{words} --json")
    assert (status, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


def test_the_table_of_commands_knows_every_option() -> None:
    assert set(bench.OPTIONS) == set(BENCH)
    assert {name for name, takes in BENCH.items() if not takes} == {n for n, t in bench.OPTIONS.items() if not t}


@pytest.mark.parametrize(
    ("words", "keys"),
    [
        ("correct --gravity 1.042 --temp 25C --calibrated 60F --abv 4", "sg_20_20"),
        ("strength --from 1.095 --to 1.000", "abv_percent plus_minus"),
        ("honey --volume 4L --gravity 1.095 --moisture 18", "honey_g water_l"),
        ("nitrogen --volume 4L --gravity 1.095 --demand high", "yan_mg_per_l dap_g"),
        ("sulfite --volume 1gal --ph 3.4 --abv 12 --temp 68F --molecular 0.8", "free_so2_mg_per_l metabisulfite_g"),
        ("sorbate --volume 4L --ph 3.3 --abv 12", "potassium_sorbate_g sorbic_acid_mg_per_l"),
        ("sweeten --volume 4L --from 0.998 --to 1.010 --abv 12", "honey_g volume_after_l abv_after_percent"),
        ("fruit --kind plum --mass 1lb --volume 4L --gravity 1.000", "sugar_g water_g displaces_l gravity_after"),
        ("bottles --volume 4L --loss-percent 5 --size 750mL", "count left_l"),
        ("pressure --sugar 4g/L --temp 20C", "bar_excess"),
        ("air --volume 4L --gravity 1.095 --room 30m3", "co2_g co2_ppm"),
        ("mixture --sugar-percent 10 --ethanol-percent 8 --temp 20C", "density_kg_m3 sg_20_20 abv_percent"),
    ],
)
def test_the_json_is_a_promise_to_scripts(words: str, keys: str) -> None:
    found = as_json(words)
    assert found["what"] == words.split()[0]
    assert all(isinstance(found[key], float | int) for key in keys.split())
    steps = as_json(f"{words} --explain")["explain"]
    assert all(step["formula"] and step["source"] and step["inputs"] for step in steps)


def test_sorbate_outside_its_table_is_null_with_the_ways_out() -> None:
    found = as_json("sorbate --volume 4L --ph 3.8 --abv 12")
    assert found["potassium_sorbate_g"] is None
    assert found["sorbic_acid_mg_per_l"] is None
    assert found["ways_out"] == ["acid", "ferment drier", "cold", "heat before bottling"]
    status, out, _ = call("sorbate --volume 4L --ph 3.8 --abv 12")
    assert status == 0
    assert "Never heat a closed bottle" in out


def test_text_is_aligned_and_has_its_caution() -> None:
    status, out, err = call("sweeten --volume 4L --from 0.998 --to 1.010 --abv 12")
    assert (status, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].startswith("honey           1")
    assert lines[0].endswith(" g ± 14.0 g")  # a point of gravity, a fiftieth of the volume and of the honey
    assert lines[1].startswith("volume after    4.")
    assert any(line.startswith("! Stabilise first") for line in lines)
    assert max(map(len, lines)) <= 80


def test_explain_in_text() -> None:
    _, out, _ = call("strength --from 1.095 --to 1.000 --explain")
    assert "source" in out
    assert "Balling" in out
    assert "OIML R 22" in out
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize(
    ("words", "status"),
    [
        ("correct --gravity 1.042 --temp -80C", 1),
        ("sulfite --volume 4L --ph 9 --abv 12", 1),
        ("sulfite --volume 4L --ph 3.4 --abv 200%", 1),
        ("honey --volume 4L --gravity 1.095 --moisture 40", 1),
        ("fruit --kind plum --mass -3lb --volume 4L --gravity 1.000", 1),
        ("fruit --kind stone --mass 3lb --volume 4L --gravity 1.000", 1),
        ("honey --volume 4parsec --gravity 1.095", 1),
        ("nitrogen --volume 4L --gravity 1.095 --demand huge", 1),
        ("honey --volume 4L --gravity 1.095 --sugar 3", 2),
        ("honey --volume 4L", 2),
        ("brandy --volume 4L", 2),
        ("honey sulfite --volume 4L", 2),
        ("correct --gravity 1.042 --cellar /nowhere/at/all", 1),
    ],
)
def test_one_sentence_on_stderr(words: str, status: int) -> None:
    found, out, err = call(words)
    assert found == status
    assert out == ""
    assert err.startswith("fermtui: ")
    assert err.count("\n") == 1
    assert "Traceback" not in err


def test_units_of_the_cellar_count_for_bare_numbers(tmp_path: Path) -> None:
    (tmp_path / "cellar.toml").write_text('[units]\nvolume = "gal"\n[hydrometer]\ncalibrated_c = 15\n', "utf-8")
    in_gallons = as_json(f"honey --volume 1 --gravity 1.095 --cellar {tmp_path}")
    assert in_gallons["honey_g"] == as_json("honey --volume 1gal --gravity 1.095")["honey_g"]
    there = as_json(f"correct --gravity 1.042 --cellar {tmp_path}")
    assert there["sg_20_20"] == as_json("correct --gravity 1.042 --calibrated 15C")["sg_20_20"]
    assert "[15 C]" in call(f"correct --help --cellar {tmp_path}")[1]


@pytest.mark.parametrize(
    ("setting", "words", "meant"),
    [
        ("[nutrients]\ndemand_high = 2.0", "nitrogen --volume 4L --gravity 1.095 --demand high", " --factor 2"),
        ("[sulfite]\nmolecular_mg_per_l = 0.6", "sulfite --volume 4L --ph 3.4 --abv 12", " --molecular 0.6"),
    ],
)
def test_a_sum_counts_with_the_settings(tmp_path: Path, setting: str, words: str, meant: str) -> None:
    (tmp_path / "cellar.toml").write_text(setting, "utf-8")
    assert as_json(f"{words} --cellar {tmp_path}") == as_json(words + meant)
    assert as_json(words) != as_json(words + meant)


def test_the_nitrogen_of_a_juice_is_a_setting(tmp_path: Path) -> None:
    (tmp_path / "cellar.toml").write_text("[nutrients]\njuice_mg_per_l = 120\n", "utf-8")
    words = f"nitrogen --volume 4L --gravity 1.05 --cellar {tmp_path}"
    brought = as_json(f"{words} --juice 2L")["own_mg_per_l"] - as_json(words)["own_mg_per_l"]
    assert brought == pytest.approx((120 - 20) * 2 / 4)  # it takes the place of honey and water with 20 mg/L


def test_a_setting_that_check_refuses_does_not_count_in_a_sum(tmp_path: Path) -> None:
    (tmp_path / "cellar.toml").write_text("[sulfite]\nmolecular_mg_per_l = 0.2\n", "utf-8")
    words = "sulfite --volume 4L --ph 3.4 --abv 12 --json"
    status, out, err = call(f"{words} --cellar {tmp_path}")
    assert (status, json.loads(out)) == (0, as_json(words))
    wrong = "sulfite.molecular_mg_per_l is a number from 0.3 to 2, not 0.2"
    assert err == f"fermtui: cellar.toml, line 2: {wrong}\n"


def test_the_cellar_is_that_of_all_other_commands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "cellar.toml").write_text("[hydrometer]\ncalibrated_c = 15\n", "utf-8")
    monkeypatch.setenv("FERMTUI_CELLAR", str(tmp_path))
    assert "[15 C]" in call("correct --help")[1]


def test_words_may_stand_as_pairs_too() -> None:
    assert as_json("bottles volume=4L loss_percent=10") == as_json("bottles --volume 4L --loss-percent 10")


@pytest.mark.parametrize("what", list(SUMS))
def test_help_of_every_sum(what: str) -> None:
    status, out, _ = call(f"{what} --help")
    assert status == 0
    for option in SUMS[what].options:
        assert f"--{option.name}" in out


def test_bench_alone_lists_the_sums() -> None:
    status, out, _ = call("")
    assert status == 0
    assert all(f"  {what} " in out for what in SUMS)


def test_a_sum_loads_neither_screens_nor_vessels() -> None:
    script = (
        "import sys; from fermtui.cli.main import run; "
        "status = run(['bench', 'strength', '--from', '1.095', '--to', '1', '--json']); "
        "assert status == 0; "
        "loaded = [m for m in sys.modules if m.split('.')[0] in ('textual', 'rich') or m.startswith("
        "('fermtui.tui', 'fermtui.replay', 'fermtui.forecast', 'fermtui.schedule', 'dataclasses'))]; "
        "assert loaded == [], loaded"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["what"] == "strength"


def test_a_wrong_option_names_those_of_its_sum_the_closest_first() -> None:
    status, out, err = call("correct --gravity 1.042 --tmp 25C")
    assert (status, out) == (2, "")
    assert "bench" not in err
    assert err.startswith("fermtui: correct does not take --tmp: it takes --temp, ")
    assert "--sugar" not in err


def test_a_wrong_option_before_any_sum() -> None:
    status, out, err = call("--frm 1.095")
    assert (status, out) == (2, "")
    assert err.startswith("fermtui: bench needs the name of a sum before its options: one of correct, ")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("strength --to 1.000", "strength needs --from (original gravity)"),
        ("honey --volume 4L", "honey needs --gravity, or --abv"),
        ("mixture --with-gravity 1.010", "mixture with a blend needs --gravity as well"),
        ("correct --temp 25C", "correct needs --gravity or --brix, just one of them"),
    ],
)
def test_what_is_missing_is_named_as_it_is_typed(words: str, says: str) -> None:
    status, _, err = call(words)
    assert status == 2
    assert says in err


def test_a_pressure_is_printed_once() -> None:
    _, out, _ = call("pressure --sugar 4g/L --temp 20C")
    (line,) = [line for line in out.splitlines() if "pressure at 20 °C" in line]
    assert line.startswith("pressure at 20 °C")
    assert out.count(" 1.2 bar") == 1
    assert "pressure above air" in call("pressure --sugar 4g/L --temp 25C")[1]
    assert as_json("pressure --sugar 4g/L --temp 20C")["bar_excess"] > 0.0


def test_a_pressure_that_no_glass_holds_is_no_figure() -> None:
    _, out, _ = call("pressure --sugar 100g/L")
    assert "more than 16 bar" in out
    assert "93.7" not in out


def test_no_figure_has_more_digits_than_it_is_worth() -> None:
    calls = (
        "correct --gravity 1.042 --temp 25C", "strength --from 1.095 --to 1.000", "honey --volume 4L --abv 12",
        "nitrogen --volume 4L --gravity 1.095", "sulfite --volume 4L --ph 3.4 --abv 12", "pressure --sugar 4",
        "air --volume 40L --gravity 1.1 --room 30m3", "sorbate --volume 4L --ph 3.3 --abv 12",
        "sweeten --volume 4L --from 0.998 --to 1.010 --abv 12", "bottles --volume 4L --fizz 2.5 --glass beer",
        "fruit --kind plum --mass 1kg --volume 4L --gravity 1.000 --abv 12", "mixture --abv 9 --gravity 1",
    )  # fmt: skip
    for words in calls:
        found = as_json(f"{words} --explain")
        steps = [number["value"] for step in found["explain"] for number in (step, *step["inputs"])]
        for value in (*found.values(), *steps):
            if isinstance(value, float):
                digits = f"{value:.15g}".replace(".", "").strip("-0")
                assert len(digits.split("e")[0]) <= 6, (words, value)


def test_gas_is_told_in_two_figures_and_is_never_more_than_pure() -> None:
    _, out, _ = call("air --volume 200L --gravity 1.095 --room 1m3")
    # 200 L of 1.095 give some 19 kg, 10 m3 of gas: no cubic metre holds more than a million parts in a million.
    assert "in the closed room      1 000 000 ppm" in out
    assert as_json("air --volume 200L --gravity 1.095 --room 1m3")["co2_ppm"] == 1e6
    assert as_json("air --volume 4L --gravity 1.095 --room 30m3")["co2_ppm"] == pytest.approx(7300, abs=400)


@pytest.mark.parametrize(
    ("words", "asks"),
    [
        ("nitrogen --volume 4L --gravity 1.095 --effect 0.1", "effect 0.1 is meant?"),
        ("nitrogen --volume 4L --gravity 1.095 --inorganic 0.5", "if 50 % is meant, write 50"),
        ("strength --from 1.200 --to 1.000", "is more than yeast makes"),
        ("honey --volume 4L --abv 24", "is more than yeast makes"),
        ("sulfite --volume 4L --ph 5 --abv 12", "ph 5 is meant?"),
    ],
)
def test_what_is_beyond_reason_is_asked_about_and_reckoned(words: str, asks: str) -> None:
    status, out, _ = call(words)
    assert status == 0
    assert any(asks in line for line in " ".join(out.split()).split("? ")) or asks in " ".join(out.split())
    (question,) = as_json(words)["asks"]
    assert asks in question


def test_what_is_usual_is_not_asked_about() -> None:
    calls = (
        "nitrogen --volume 4L --gravity 1.095 --effect 1", "nitrogen --volume 4L --gravity 1.095 --inorganic 0",
        "strength --from 1.110 --to 0.998", "sulfite --volume 4L --ph 3.4 --abv 12",
    )  # fmt: skip
    for words in calls:
        assert as_json(words)["asks"] == []
