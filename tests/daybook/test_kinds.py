"""Every kind has its rows: what it is, what it is called, what its fields are. Records are light and immutable."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime

import pytest

from fermtui.daybook.fields import FIELDS
from fermtui.daybook.kinds import KINDS, Dose, Filter, Kind, Rack, entry_from, kinds_that
from fermtui.replay.effects import EFFECTS
from fermtui.wording.kinds import KINDS as WORDS
from fermtui.wording.kinds import Words

AT = datetime(2026, 3, 18, 20, 15, tzinfo=UTC)
NOTHING_IN_THE_LEDGER = {
    "aerate", "degas", "punch", "taste", "note", "postpone", "strike",
}  # fmt: skip


def test_every_kind_is_called_something_and_does_something() -> None:
    assert WORDS.keys() == KINDS.keys()
    assert EFFECTS.keys() == KINDS.keys() - NOTHING_IN_THE_LEDGER
    for did, words in WORDS.items():
        assert all((words.to_do, words.done, words.doing, words.act, words.noun, words.about)), did


def test_a_row_that_forgets_something_does_not_start() -> None:
    assert not Kind._field_defaults
    assert not Words._field_defaults
    with pytest.raises(TypeError):
        Words("filter", "filtered", "filtering", "filter", "filtering", "filter", "pad size")  # type: ignore[call-arg]


def test_no_row_of_a_field_is_left_over() -> None:
    used = {name for kind in KINDS.values() for name in kind.fields}
    used |= {f"{did}.{name}" for did, kind in KINDS.items() for name in kind.fields}
    assert FIELDS.keys() - used == set()


def test_what_a_kind_is() -> None:
    assert {"dose", "sulfite", "feed"} <= kinds_that(lambda kind: kind.brings)
    assert {"rack", "filter", "level", "read"} & kinds_that(lambda kind: kind.brings) == set()
    quiet = kinds_that(lambda kind: kind.quiet)
    assert quiet == {"aerate", "punch", "degas", "chore", "read"}


def test_what_a_kind_is_called() -> None:
    assert (WORDS["feed"].act, WORDS["rack"].act) == ("feed", "rack")
    assert (WORDS["rack"].to_do, WORDS["rack"].done, WORDS["rack"].doing) == ("rack off the lees", "racked", "racking")
    assert WORDS["rack"].mark == "rack"


def test_a_record_is_immutable_and_equal_by_value() -> None:
    one, same = (entry_from("k", {"at": AT, "did": "dose", "dap_g": 1}) for _ in range(2))
    other = entry_from("k", {"at": AT, "did": "dose", "dap_g": 2})
    assert isinstance(one, Dose)
    assert one == same != other
    assert (one.dap_g, one.complex_g) == (1.0, None)
    assert "dap_g=1.0" in repr(one)
    with pytest.raises(AttributeError):
        one.dap_g = 3.0  # type: ignore[misc]
    with pytest.raises(AttributeError):
        del one.key


def test_a_record_takes_no_wrong_field() -> None:
    with pytest.raises(TypeError):
        Rack(key="k", at=AT, extra={}, written={}, volume=3)  # type: ignore[call-arg]
    with pytest.raises(TypeError):
        Filter(key="k", at=AT, extra={})  # type: ignore[call-arg]


def test_kinds_do_not_wait_for_generated_classes() -> None:
    code = "import fermtui.daybook.kinds, sys; print('dataclasses' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
