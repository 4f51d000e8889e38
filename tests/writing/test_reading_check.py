"""What a reading means before it is written, and when it is too odd to be written without a word."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fermtui.cellar.loaded import LoadedVessel
from fermtui.cellar.store import CellarStore
from fermtui.daybook.places import Cellar
from fermtui.units import Unreadable
from fermtui.writing.reading_check import InterpretedReading, implausibility_of, interpret

NOW = datetime.fromisoformat("2026-03-09T19:00:00+01:00")
HEAD = 'name = "Damson"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'
PAGE = """
a0 = { at = 2026-03-01T18:30:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
a1 = { at = 2026-03-01T19:00:00+01:00, did = "pitch" }
a2 = { at = 2026-03-05T19:00:00+01:00, did = "read", sg = 1.066, temp_c = 20 }
"""


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[CellarStore, Path]:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "cellar/vessels/damson"
    folder.mkdir(parents=True)
    (folder / "vessel.toml").write_text(HEAD)
    (folder / "daybook.toml").write_text(PAGE)
    (tmp_path / "cellar/cellar.toml").write_text('timezone = "Europe/Vienna"\n')
    return CellarStore(Cellar(tmp_path / "cellar"), lambda: NOW), folder / "daybook.toml"


def loaded(store: CellarStore) -> LoadedVessel:
    found = store.load_one("damson")
    assert found is not None
    return found


def typed(made: tuple[CellarStore, Path], text: str, now: datetime = NOW) -> InterpretedReading:
    return interpret(made[0], loaded(made[0]), text, now)


def test_what_follows_from_it(made: tuple[CellarStore, Path]) -> None:
    seen = typed(made, "1.042 25")
    assert seen.sg == pytest.approx(1.0432, abs=3e-4)  # five degrees above the mark make about a point
    assert seen.after.abv_percent is not None
    assert 5.8 < seen.after.abv_percent < 6.6
    assert seen.before is not None
    assert seen.before.sg == 1.066
    assert (seen.passed, seen.doubt) == (("third break",), None)  # 1 + 2/3 of 0.090 is 1.060
    assert typed(made, "1.061 20").passed == ()
    assert typed(made, "1.060 20").passed == ("third break",)
    assert typed(made, "1.002 20").passed == ("third break", "end")
    assert "1.042" not in made[1].read_text()


def test_what_cannot_be_read(made: tuple[CellarStore, Path]) -> None:
    for text in ("", "abc", "1.9", "1.042 @ 400"):
        with pytest.raises(Unreadable):
            typed(made, text)


@pytest.mark.parametrize(
    ("text", "days", "says"),
    [
        ("1.068 20", 4, None), ("1.0681 20", 4, "rise by 2 points"), ("1.090 20", 4, "rise by 24 points"),
        ("1.036 20", 1, None), ("1.0359 20", 1, "faster than mead ferments"), ("1.030 20", 0.1, "faster"),
        ("pH 3.4", 4, None), ("20C", 4, None),
    ],
)  # fmt: skip
def test_what_makes_one_look_again(made: tuple[CellarStore, Path], text: str, days: float, says: str | None) -> None:
    doubt = typed(made, text, datetime.fromisoformat("2026-03-05T19:00:00+01:00") + timedelta(days=days)).doubt
    assert (doubt is None) if says is None else says in (doubt or "")


def test_after_an_addition_a_higher_gravity_is_no_riddle(made: tuple[CellarStore, Path]) -> None:
    page = made[1]
    page.write_text(page.read_text() + 'a3 = { at = 2026-03-08T19:00:00+01:00, did = "feed", honey_g = 400 }\n')
    assert typed(made, "1.085 20").doubt is None


def test_above_the_original_gravity(made: tuple[CellarStore, Path]) -> None:
    page = made[1]
    page.write_text("".join(line + "\n" for line in PAGE.strip().splitlines()[:2]))
    assert typed(made, "1.0921 20").doubt is not None
    assert typed(made, "1.092 20").doubt is None


def test_before_pitching_it_is_held_against_what_went_in(made: tuple[CellarStore, Path]) -> None:
    made[1].write_text('m = { at = 2026-03-09T17:00:00+01:00, did = "mix", honey_g = 1130, volume_l = 4.0 }\n')
    assert typed(made, "1.090 20").doubt is None
    assert typed(made, "1.081 20").doubt is None
    assert "stir" in (typed(made, "1.078 20").doubt or "")
    assert "stir" in (typed(made, "1.103 20").doubt or "")


def test_far_from_the_forecast(made: tuple[CellarStore, Path]) -> None:
    store, page = made
    rows = ((6, 1.056), (7, 1.046), (8, 1.037))
    page.write_text(
        page.read_text()
        + "".join(
            f'r{day} = {{ at = 2026-03-0{day}T19:00:00+01:00, did = "read", sg = {sg}, temp_c = 20 }}\n'
            for day, sg in rows
        )
    )
    loaded(store)
    store.make_forecasts(["damson"])
    found = store.vessels["damson"]
    assert implausibility_of(store, found, {"sg": 1.029, "temp_c": 20.0}, at=NOW) is None
    assert "to be expected" in (implausibility_of(store, found, {"sg": 1.007, "temp_c": 20.0}, at=NOW) or "")
    late = NOW + timedelta(days=20)
    assert implausibility_of(store, found, {"sg": 1.001, "temp_c": 20.0}, at=late) is None
    # All of its honey turned to alcohol could not make it lighter than this.
    assert "out of reach" in (implausibility_of(store, found, {"sg": 0.965, "temp_c": 20.0}, at=late) or "")


def test_how_to_keep_a_doubted_reading_is_for_the_face_to_say(made: tuple[CellarStore, Path]) -> None:
    doubt = typed(made, "1.120").doubt
    assert doubt is not None
    assert "override" not in doubt
