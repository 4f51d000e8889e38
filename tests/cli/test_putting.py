"""Put away and brought back: never with mead in it, never with bottles left unless that is meant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Cellar = Callable[[Mapping[str, str]], Path]

PITCHED = """
{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = 4.0 }
{ at = 2026-01-10T10:10:00+01:00, did = "read", sg = 1.080, temp_c = 20 }
{ at = 2026-01-10T10:20:00+01:00, did = "pitch" }
"""
BOTTLED = (
    PITCHED
    + """
{ at = 2026-03-01T10:00:00+01:00, did = "bottle", count = 5, size_ml = 750 }
{ at = 2026-03-20T10:00:00+01:00, did = "open", count = 4, why = "drunk" }
"""
)


@pytest.fixture
def rowan(cellar: Cellar) -> Callable[[str], Path]:
    return lambda page: cellar({"vessels/rowan/vessel.toml": 'name = "Rowan"\n', "vessels/rowan/daybook.toml": page})


def test_what_is_still_in_it_stays(rowan: Any, fermtui: Any) -> None:
    folder = rowan(PITCHED)
    for more in ((), ("--anyway",)):
        ran = fermtui("put-away", "rowan", *more)
        assert (ran.status, ran.err.count("\n")) == (1, 1)
        assert "still in rowan" in ran.err
    assert (folder / "vessels/rowan").is_dir()
    assert fermtui("write", "rowan", "empty", "reason=vinegar", "--at", "2026-03-01").status == 0
    assert fermtui("put-away", "rowan").out == "rowan: put away\n"
    assert (folder / "past/rowan/daybook.toml").is_file()
    assert not (folder / "vessels/rowan").exists()


def test_bottles_that_are_left_are_asked_about(rowan: Any, fermtui: Any) -> None:
    folder = rowan(BOTTLED)
    ran = fermtui("put-away", "rowan")
    assert ran.status == 1
    assert "1 bottle is left of rowan" in ran.err
    assert "--anyway" not in ran.err, "what would end its tastings and checks is not recommended"
    assert fermtui("write", "rowan", "empty", "--at", "2026-03-21").status == 0
    assert fermtui("put-away", "rowan").status == 1, "its bottle is full, however empty the vessel is"
    assert fermtui("put-away", "rowan", "--anyway").status == 0
    assert (folder / "past/rowan").is_dir()


def test_the_last_bottle_gone_it_may_go(rowan: Any, fermtui: Any) -> None:
    rowan(BOTTLED + '{ at = 2026-04-20T10:00:00+02:00, did = "open", count = 1, why = "given" }\n')
    assert fermtui("put-away", "rowan", "--json").json == {"vessel": "rowan", "was": "rowan", "put_away": True}


def test_one_started_by_mistake_may_go(rowan: Any, fermtui: Any) -> None:
    rowan("")
    assert fermtui("put-away", "rowan").status == 0


def test_a_page_that_cannot_be_read_may_hide_mead(rowan: Any, fermtui: Any) -> None:
    rowan('{ at = 2026-01-10T10:00:00+01:00, did = "mix", volume_l = "four" }')
    ran = fermtui("put-away", "rowan")
    assert (ran.status, ran.err.count("\n")) == (1, 1)
    assert "fermtui check rowan" in ran.err
    assert fermtui("put-away", "rowan", "--anyway").status == 0


def test_brought_back_it_is_as_it_was(rowan: Any, fermtui: Any) -> None:
    folder = rowan(BOTTLED)
    before = (folder / "vessels/rowan/daybook.toml").read_bytes()
    fermtui("put-away", "rowan", "--anyway")
    assert fermtui("bring-back", "rowan").out == "rowan: brought back\n"
    assert (folder / "vessels/rowan/daybook.toml").read_bytes() == before
    assert fermtui("bring-back", "rowan").err == "fermtui: rowan is at work already\n"


def test_a_name_that_is_taken_gets_a_number(rowan: Any, fermtui: Any) -> None:
    folder = rowan(BOTTLED)
    (folder / "past/rowan").mkdir(parents=True)
    (folder / "past/rowan/vessel.toml").write_text('name = "Older"\n')
    ran = fermtui("put-away", "rowan", "--anyway")
    assert ran.out == "rowan: put away as rowan-2, for the name was taken\n"


@pytest.mark.parametrize("words", [("put-away",), ("put-away", "a", "b"), ("bring-back",), ("bring-back", "a=b")])
def test_wrong_words(rowan: Any, fermtui: Any, words: tuple[str, ...]) -> None:
    rowan(PITCHED)
    assert fermtui(*words).status == 2


def test_nobody_of_that_name(rowan: Any, fermtui: Any) -> None:
    rowan(PITCHED)
    assert fermtui("put-away", "nobody").status == 1
    assert fermtui("bring-back", "nobody").status == 1


def test_a_strike_of_nothing_is_no_unread_line(rowan: Any, fermtui: Any) -> None:
    gone = '{ at = 2026-04-20T10:00:00+02:00, did = "open", count = 1, why = "given" }\n'
    rowan(BOTTLED + gone + '{ at = 2026-04-21T10:00:00+02:00, did = "strike", entry = "nowhere" }\n')
    assert fermtui("put-away", "rowan").status == 0
