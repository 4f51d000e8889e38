"""The words of a call, in any order, with values that begin with a minus."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.cli.args import Call, WrongUsage, split

TAKES = {
    "": {},
    "due": {"days": "N"},
    "show": {},
    "read": {"at": "WHEN", "override": "REASON"},
    "tick": {"at": "WHEN"},
    "bench": {"temp": "T", "gravity": "SG"},
}


def call(line: str) -> Call:
    return split(line.split(), TAKES)


@pytest.mark.parametrize("line", ["--json --on 2026-03-18 due --days 7", "due --days 7 --json --on 2026-03-18",
                                  "--on=2026-03-18 due --json --days=7"])  # fmt: skip
def test_options_stand_before_or_after_the_command(line: str) -> None:
    assert call(line) == Call("due", {"json": "yes", "on": "2026-03-18", "days": "7"}, (), {})


def test_nothing_opens_the_cellar() -> None:
    assert call("") == Call("", {}, (), {})
    assert call("--cellar here") == Call("", {"cellar": "here"}, (), {})


def test_a_value_may_begin_with_a_minus() -> None:
    assert call("bench strength --temp -2C --gravity 1.09").options == {"temp": "-2C", "gravity": "1.09"}
    assert call("bench correct 1.042 -2C").operands == ("correct", "1.042", "-2C")


def test_pairs_and_operands() -> None:
    found = split(["tick", "damson-26", "dose-2", "dap_g=1.1", "text=a = b", "override="], TAKES)
    assert found.operands == ("damson-26", "dose-2")
    assert found.pairs == {"dap_g": "1.1", "text": "a = b", "override": ""}


def test_a_vessel_may_bear_the_name_of_a_command_or_folder() -> None:
    assert call("show due").operands == ("due",)
    assert call("--cellar show show show") == Call("show", {"cellar": "show"}, ("show",), {})


def test_after_two_dashes_everything_is_an_operand() -> None:
    assert call("read damson-26 -- --help due").operands == ("damson-26", "--help", "due")
    assert call("-- due") == Call("", {}, ("due",), {})


@pytest.mark.parametrize("line", ["--help", "-h", "due --help", "due -h"])
def test_help(line: str) -> None:
    assert call(line).options == {"help": "yes"}


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("dew", "there is no command 'dew'"), ("-x due", "there is no command '-x'"),
        ("due --weeks 2", "due has no option --weeks"), ("--weeks", "fermtui has no option --weeks"),
        ("due --days", "--days needs a value"), ("due --json=1", "--json takes no value"),
        ("due --days 1 --days 2", "--days is given twice"), ("tick a b c=1 c=2", "c= is given twice"),
    ],
)  # fmt: skip
def test_wrong_usage(line: str, says: str) -> None:
    with pytest.raises(WrongUsage, match=r"^[^\n]*$") as wrong:
        call(line)
    assert says in str(wrong.value)


WORDS = st.one_of(st.sampled_from(["due", "--json", "--on", "--", "-h", "a=b", "=", "--="]), st.text(max_size=6))


@given(st.lists(WORDS, max_size=8))
def test_any_words_are_a_call_or_wrong_usage(words: list[str]) -> None:
    try:
        found = split(words, TAKES)
    except WrongUsage as wrong:
        assert str(wrong)  # noqa: PT017 - any words at all
        return
    assert found.command in TAKES


def test_an_option_with_a_value_may_stand_before_the_command_or_without_one() -> None:
    takes = {"": {"theme": "NAME"}, "due": {"days": "N"}}
    assert split(["--theme", "ansi-dark"], takes).options == {"theme": "ansi-dark"}
    assert split(["--days", "3", "due"], takes).command == "due"
    assert split(["--days=3", "due"], takes).options == {"days": "3"}
