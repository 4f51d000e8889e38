"""A head and its table are one and the same."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from fermtui.cellar.tables import table_from, table_text
from fermtui.daybook.head import Head, Plan, PlannedFruit, Yeast, head_from, head_table
from fermtui.daybook.new_vessel import head_text
from fermtui.daybook.toml_file import parse_toml

LETTERS = st.characters(min_codepoint=32, max_codepoint=0x2FF, exclude_characters="\x7f")
WORD = st.text(LETTERS, min_size=1, max_size=20).filter(lambda text: bool(text.strip()))


def number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(int(low * 1000), int(high * 1000)).map(lambda whole: whole / 1000)


def some(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


GRAVITY = number(0.95, 1.3)
SWEET = st.sampled_from([(False, None), (True, None)]) | GRAVITY.map(lambda sg: (True, sg))
FIZZ = st.sampled_from([(False, None), (True, None)]) | number(0.5, 8).map(lambda volumes: (True, volumes))
PLANS = st.builds(
    lambda sweet, fizz, **known: Plan(**known)._replace(
        sweet=sweet[0], sweet_to=sweet[1], sparkling=fizz[0], co2_volumes=fizz[1]
    ),
    sweet=SWEET,
    fizz=FIZZ,
    volume_l=some(number(0.001, 2000)),
    gravity=some(GRAVITY),
    abv_percent=some(number(0, 25)),
    end=GRAVITY,
    temp_c=some(number(-10, 100)),
    yeast=st.builds(Yeast, some(WORD), st.sampled_from(["low", "medium", "high"]), some(number(1, 25))),
    fruit=some(st.builds(PlannedFruit, WORD, some(number(0, 2000)), some(WORD))),
    doses=some(st.dictionaries(st.sampled_from(["dap_g", "autolysate_g", "complex_g"]), number(0, 10_000), min_size=1)),
    honey_moisture_percent=some(number(10, 30)),
    juice_l=some(number(0, 2000)),
    juice_sg=some(GRAVITY),
    spice=some(WORD),
    age_months=some(number(0, 600)),
)
HEADS = st.builds(
    Head,
    name=WORD,
    container=some(WORD),
    capacity_l=some(number(0.001, 2000)),
    schedule=some(st.just("two-doses")),
    parent=some(WORD),
    style=some(WORD),
    started=some(st.dates()),
    plan=PLANS,
    extra=st.dictionaries(st.just("colour"), st.booleans() | WORD),
)


@given(HEADS)
def test_the_table_of_a_head_makes_that_head_again(head: Head) -> None:
    assert head_from(head_table(head)) == head


@given(HEADS)
def test_and_so_do_the_file_and_the_cache(head: Head) -> None:
    assert head_from(parse_toml(head_text(head_table(head)).encode())) == head
    text = table_text(head_table(head))
    assert text is not None
    assert head_from(table_from(text) or {}) == head
