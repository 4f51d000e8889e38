"""Text from files is shown, never obeyed."""

from __future__ import annotations

import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.wording.plain import cell, json_text, plain


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("[bold red]", "[bold red]"), ("\x1b[2J", "�[2J"), ("two\nlines\r\n", "two lines  "), ("a\tb", "a b"),
        ("\u202eabc", "�abc"), ("\x9b31m", "�31m"), ("a\u200bb", "a�b"), ("../../x", "../../x"), ("süß", "süß"),
        ("a\u2028b\x85c", "a b c"), ("\ud800", "�"), (1.5, "1.5"), (None, "None"), ("مرحبا", "مرحبا"),
    ],
)  # fmt: skip
def test_plain(text: object, shown: str) -> None:
    assert plain(text) == shown


def test_long_text_is_cut() -> None:
    assert plain("x" * 500) == "x" * 500
    assert plain("x" * 501) == "x" * 497 + "..."
    assert plain("abcdef", 5) == "ab..."
    assert plain("abcdef", 2) == ".."


@given(st.text(), st.integers(0, 40))
def test_nothing_acts_on_a_terminal_and_nothing_is_longer_than_asked(text: str, most: int) -> None:
    shown = plain(text, most)
    assert len(shown) <= max(most, 0)
    assert all(unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp") for char in shown)
    assert plain(shown, most) == shown


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum", "\t=1+1", " =1+1", "\n@x"])
def test_no_cell_begins_a_formula(text: str) -> None:
    assert cell(text).startswith("'")


@given(st.text(max_size=20))
def test_every_cell_is_harmless(text: str) -> None:
    assert cell(text).lstrip()[:1] not in ("=", "+", "-", "@")


@given(st.text() | st.text("\x7f\x9b\u202e\u2028\U000e0001\ud800"))
def test_json_keeps_every_character_and_none_acts_on_a_terminal(text: str) -> None:
    written = json_text({"text": text})
    assert json.loads(written) == {"text": text}
    assert all(unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp") for char in written)
    assert json_text("süß 20 °C") == '"süß 20 °C"'
