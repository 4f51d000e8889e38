"""One entry <-> one line, and what a damaged line costs."""

from __future__ import annotations

import random
import time
import tomllib
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fermtui.daybook.fields import KEY, Unfit
from fermtui.daybook.kinds import Read, Unknown
from fermtui.daybook.line_parser import parse_line
from fermtui.daybook.lines import entry_of_line, line_number, line_of, new_key, read_lines
from fermtui.wording.problems import reason as reason_of

NOW = datetime(2026, 3, 18, 19, 15, 0, 123_456, tzinfo=UTC)
PAGE = b"""\
20260318T181500123-k3f9x2 = { at = 2026-03-18T20:15:00+02:00, did = "read", sg = 1.048, temp_c = 19.5 }
20260318T181633871-p0xd7m = { at = 2026-03-18T20:16:00+02:00, did = "dose", dap_g = 1.1, autolysate_g = 2.0 }
20260318T181702044-7vmeq1 = { at = 2026-03-18T20:17:00+02:00, did = "strike", entry = "20260318T181500123-k3f9x2" }
"""


def only_problem(data: bytes) -> tuple[int | None, str]:
    entries, (problem,) = read_lines(data, "vessels/damson-26/daybook.toml")
    assert entries == ()
    assert problem.path == "vessels/damson-26/daybook.toml"
    return problem.line, reason_of(problem)


def test_a_page_reads_as_it_is_written() -> None:
    entries, problems = read_lines(PAGE, "daybook.toml")
    assert problems == ()
    assert [entry.did for entry in entries] == ["read", "dose", "strike"]
    reading = entries[0]
    assert isinstance(reading, Read)
    assert (reading.sg, reading.temp_c) == (1.048, 19.5)
    assert reading.at.utcoffset() == timedelta(hours=2)


def test_numbers_keep_their_written_precision() -> None:
    line = b'a = { at = 2026-03-18T20:15:00+02:00, did = "read", sg = 1.100 }\n'
    (entry,), _ = read_lines(line, "daybook.toml")
    assert str(entry.written["sg"]) == "1.100"
    written = line_of("a", "read", entry.at, {"sg": Decimal("1.100")})
    assert written == 'a = { at = 2026-03-18T20:15:00+02:00, did = "read", sg = 1.100 }\n'


def test_a_line_is_written_as_the_design_shows_it(at: datetime) -> None:
    line = line_of("20260318T181633871-p0xd7m", "dose", at, {"task": "dose-2", "dap_g": 1.1, "text": None})
    assert line == (
        '20260318T181633871-p0xd7m = { at = 2026-03-18T20:15:00+01:00, did = "dose", task = "dose-2", dap_g = 1.1 }\n'
    )


def test_unknown_kinds_and_fields_are_kept(at: datetime) -> None:
    line = line_of("k-1", "whistle", at, {"tune": "a long one", "sg": 1.05})
    entry = entry_of_line(line)
    assert isinstance(entry, Unknown)
    assert dict(entry.extra) == {"did": "whistle", "tune": "a long one", "sg": Decimal("1.05")}


# --- keys -----------------------------------------------------------------------------------------------------------


def test_five_thousand_keys_in_one_minute_are_five_thousand() -> None:
    keys = {new_key(NOW + timedelta(milliseconds=12 * n)) for n in range(5000)}
    assert len(keys) == 5000


def test_five_thousand_keys_in_one_millisecond_are_five_thousand_and_rise() -> None:
    keys: list[str] = []
    for _ in range(5000):
        keys.append(new_key(NOW, keys[-1:]))
    assert len(set(keys)) == 5000
    assert keys == sorted(keys)


def test_a_key_has_utc_milliseconds_and_six_characters(at: datetime) -> None:
    stamp, _, rest = new_key(at).partition("-")
    assert stamp == "20260318T191500000"
    assert len(rest) == 6
    assert set(rest) <= set("0123456789abcdefghijklmnopqrstuvwxyz")


def test_a_clock_set_back_does_not_put_a_new_entry_before_an_old_one() -> None:
    earlier = new_key(NOW)
    assert new_key(NOW - timedelta(hours=3), [earlier]) > earlier


def test_a_key_from_the_far_future_is_not_followed() -> None:
    assert new_key(NOW, ["29990101T000000000-aaaaaa", "by-hand"]).startswith("20260318T191500123-")


@pytest.mark.parametrize(
    "taken", ["20260318T191599999-zzzzzz", "20260318T999999999-aaaaaa", "20260318T191500123-000000"]
)
def test_a_key_follows_stamps_that_are_no_times(taken: str) -> None:
    key = new_key(NOW, [taken])  # a stamp corrected by hand may hold 99 seconds
    assert key != taken
    assert KEY.match(key)


# --- laws -----------------------------------------------------------------------------------------------------------

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=200)
fields_ = st.fixed_dictionaries(
    {"text": texts},
    optional={
        "sg": st.decimals("0.95", "1.3", places=4, allow_nan=False),
        "temp_c": st.integers(-10, 100),
        "task": st.from_regex(r"[A-Za-z0-9_-]{1,20}", fullmatch=True),
        "seen": st.booleans(),
        "on": st.dates(date(1970, 1, 1), date(2200, 1, 1)),
        "odd name": st.floats(-1e6, 1e6),
    },
)
moments = st.datetimes(datetime(1971, 1, 1), datetime(2199, 1, 1), timezones=st.just(UTC))  # noqa: DTZ001 - zone beside
entries_ = st.tuples(st.sampled_from(["read", "note", "degas", "hum"]), moments, fields_)
note_pages = st.lists(entries_, max_size=8, unique_by=lambda entry: entry[1])


def lines_of(page: list[Any]) -> list[bytes]:
    return [line_of(f"k-{n}", did, at, {"sg": 1.05, **fields}).encode() for n, (did, at, fields) in enumerate(page)]


@given(entries_)
def test_what_is_written_reads_back(entry: Any) -> None:
    did, at, fields = entry
    line = line_of("k", did, at, {"sg": 1.05, **fields})
    back = entry_of_line(line)
    assert line.count("\n") == 1
    assert back.at == at
    assert {name: back.written[name] for name in fields if name != "odd name"} == {
        name: value for name, value in fields.items() if name != "odd name"
    }


@given(note_pages, st.randoms(use_true_random=False))
def test_order_of_lines_and_duplicates_do_not_matter(page: list[Any], chance: random.Random) -> None:
    lines = lines_of(page)
    once = read_lines(b"".join(lines), "daybook.toml")
    mixed = lines + [chance.choice(lines) for _ in range(3) if lines]
    chance.shuffle(mixed)
    assert read_lines(b"".join(mixed), "daybook.toml") == once
    assert once[1] == ()


@given(note_pages, st.randoms(use_true_random=False))
def test_which_of_two_different_lines_counts_does_not_hang_on_their_order(
    page: list[Any], chance: random.Random
) -> None:
    lines = lines_of(page) + [line.removesuffix(b" }\n") + b", other = 1 }\n" for line in lines_of(page)]
    kept, problems = read_lines(b"".join(lines), "daybook.toml")
    chance.shuffle(lines)
    assert read_lines(b"".join(lines), "daybook.toml")[0] == kept
    assert len(problems) == len(page)


toml_like = st.text(st.sampled_from(list("ab=\"'{}[],.#\\ \t-+:0123456789TZeinfau\u2028\u0085\x7f\r")), max_size=40)
values_ = st.one_of(
    toml_like,
    texts.map(lambda text: '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'),
    st.decimals(allow_nan=True, allow_infinity=True).map(str),
    moments.map(lambda at: at.isoformat()),
    st.sampled_from(["nan", "-inf", "0x1f", "1_000", "+1", "01", "1e3", "07:32:00", "2026-02-30", "true", "''", '""']),
)


@given(st.lists(st.tuples(st.sampled_from(["a", "b", '"c"', "d.e", "'f'"]), values_), max_size=4))
def test_the_pattern_agrees_with_tomllib(pairs: list[tuple[str, str]]) -> None:
    line = f"k = {{ {', '.join(f'{name} = {value}' for name, value in pairs)} }}"
    try:
        key, values = parse_line(line.encode())
    except Unfit:
        return  # narrower than TOML on purpose: no nesting, no dotted names
    table = tomllib.loads(line, parse_float=Decimal)
    assert table.keys() == {key}
    assert repr(table[key]) == repr(values)


# --- damage ---------------------------------------------------------------------------------------------------------

GOOD = PAGE.splitlines(keepends=True)[0]


def test_every_cut_of_the_last_line_keeps_the_others() -> None:
    whole = read_lines(PAGE, "daybook.toml")[0]
    before = PAGE[: PAGE.rindex(b"\n", 0, -1) + 1]
    for cut in range(len(before), len(PAGE) - 1):
        entries, problems = read_lines(PAGE[:cut], "daybook.toml")
        if cut < len(PAGE) - 2:
            assert entries == whole[:2], cut
            assert [problem.line for problem in problems] == ([3] if cut > len(before) else [])
    assert read_lines(PAGE[:-1], "daybook.toml") == (whole, ())


@pytest.mark.parametrize("size", [1, 100, 4096, 70_000])
def test_a_tail_of_zero_bytes_is_one_problem(size: int) -> None:
    entries, (problem,) = read_lines(PAGE + bytes(size), "daybook.toml")
    assert len(entries) == 3
    assert problem.line == 4


def test_crlf_and_a_byte_order_mark_change_nothing() -> None:
    windows = b"\xef\xbb\xbf" + PAGE.replace(b"\n", b"\r\n")
    assert read_lines(windows, "daybook.toml") == read_lines(PAGE, "daybook.toml")


def test_line_separators_inside_a_text_do_not_tear_it(at: datetime) -> None:
    text = "one\u2028two\u2029three\u0085four\x0bfive\x1csix\nseven\r\neight"
    line = line_of("k", "note", at, {"text": text})
    (entry,), problems = read_lines(line.encode(), "daybook.toml")
    assert problems == ()
    assert entry.text == text


def test_comments_and_empty_lines_are_no_problem() -> None:
    assert read_lines(b"# mine\n\n   \n\t# too\n" + GOOD.replace(b"}", b"} # good"), "daybook.toml")[1] == ()


ENTRY = 'k = { at = 2026-03-18T20:15:00+02:00, did = "read", '


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("[entry]", "no [headers]"),
        ("k.at = 2026-03-18T20:15:00+02:00", "this is no entry"),
        ("sg = 1.048", "this is no entry"),
        ("just words", "this is no entry"),
        (ENTRY + "sg = 1.0", "does not end with }"),
        (ENTRY + 'text = "torn', "does not end with }"),
        (ENTRY + "sg = nan }", "sg is a number from 0.95 to 1.3"),
        (ENTRY + "sg = 1.05, mine = nan }", "mine is too large or not a number"),
        (ENTRY + "sg = 1.05, mine = 1e400 }", "mine is too large or not a number"),
        (ENTRY + "sg = 1.05, mine = 1e99999999999999999999 }", "a number or a date is out of all bounds"),
        (ENTRY + f"sg = 1.05, mine = 0x{'f' * 3500} }}", "mine is too large or not a number"),
        (ENTRY + f"sg = {'9' * 3000} }}", "sg is a number from 0.95 to 1.3"),
        (ENTRY + "sg = 1.05, sg = 1.06 }", "no valid TOML"),
        (ENTRY + "sg = 1.05, deep = { a = 1 } }", "only name = value"),
        (ENTRY + "a.b = 1 }", "only name = value"),
        (ENTRY + "list = " + "[" * 1900 + "]" * 1900 + " }", "only name = value"),
        (ENTRY + 'sg = """1.05""" }', "only name = value"),
        ('k = { at = 9999-12-31T23:59:59Z, did = "read", sg = 1.05 }', "between the years 1970 and 2200"),
        ('k = { at = 2026-02-30T00:00:00Z, did = "read", sg = 1.05 }', "no valid TOML"),
        ('k = { at = 2026-03-18T20:15:00, did = "read", sg = 1.05 }', "at is a time with its offset"),
        ('k = { at = 2026-03-18, did = "read", sg = 1.05 }', "at is a time with its offset"),
        ('k = { did = "read", sg = 1.05 }', "at is a time with its offset"),
        ("k = { at = 2026-03-18T20:15:00Z, sg = 1.05 }", "did says what was done"),
        (ENTRY + "temp_c = 400 }", "temp_c is a number from -10 to 100, not 400"),
        (ENTRY + 'sg = "1.05" }', "sg is a number without quotes"),
        ("x" * 81 + ENTRY[1:] + "sg = 1.05 }", "more than 80 characters"),
        (f"{ENTRY}sg = 1.05, text = '{'x' * 4096}' }}", "4095 are the most"),
        ('k = { at = 2026-03-18T20:15:00Z, did = "postpone", task = "t", until = 2026-04-01T10:00:00 }', "its offset"),
    ],
)
def test_a_bad_line_is_named_with_its_number_and_costs_only_itself(line: str, reason: str) -> None:
    number, said = only_problem(b"\n" + line.encode() + b"\n")
    assert number == 2
    assert reason in said
    entries, problems = read_lines(GOOD + line.encode() + b"\n" + PAGE[len(GOOD) :], "daybook.toml")
    assert entries == read_lines(PAGE, "daybook.toml")[0]
    assert [problem.line for problem in problems] == [2]


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (GOOD.replace(b"1.048", b"1.0\xff8"), "no UTF-8 text"),
        (GOOD.replace(b"1.048", b"1.0\r48"), "carriage return"),
        (GOOD.replace(b"1.048", b"1.0\0 48"), "zero bytes"),
        (GOOD.replace(b"1.048", b'"\xed\xa0\x80"'), "no UTF-8 text"),
        (GOOD.replace(b"1.048", b'"\x07"'), "only name = value"),
    ],
)
def test_bytes_that_are_no_text(line: bytes, reason: str) -> None:
    assert reason in only_problem(line)[1]


def test_lone_carriage_returns_as_line_ends_are_a_problem_and_no_crash() -> None:
    assert only_problem(PAGE.replace(b"\n", b"\r"))[0] == 1


def test_a_huge_dotted_key_is_refused_at_once() -> None:
    dotted = b".".join([b"a"] * 10_000) + b" = 1\n"  # 20 kB; a whole-file parse takes more than a second
    inside = b"k = { " + b".".join([b"a"] * 2000) + b" = 1 }\n"
    started = time.process_time()
    entries, problems = read_lines(PAGE + dotted + inside * 50, "daybook.toml")
    assert time.process_time() - started < 0.05
    assert len(entries) == 3
    assert [problem.line for problem in problems] == list(range(4, 55))


def test_a_file_of_rubbish_gives_a_bounded_list_of_problems() -> None:
    entries, problems = read_lines(b"x\n" * 20_000, "daybook.toml")
    assert entries == ()
    assert len(problems) == 1001
    assert problems[-1].line == 1001
    assert "18999 further ones" in reason_of(problems[-1])


def test_two_lines_under_one_key_are_reported_and_one_counts() -> None:
    other = GOOD.replace(b"1.048", b"1.084")
    (entry,), (problem,) = read_lines(GOOD + b"\n" + other, "daybook.toml")
    assert str(entry.written["sg"]) == "1.084"
    assert problem.line == 1
    assert "line 3 has the same key" in reason_of(problem)


def test_a_line_number_is_found_by_its_key() -> None:
    assert line_number(PAGE, "20260318T181633871-p0xd7m") == 2
    assert line_number(PAGE, "20260318T181633871") is None


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"sg": 1.9}, "sg is a number from 0.95 to 1.3, not 1.9"),
        ({"sg": float("nan")}, "sg is a number"),
        ({"sg": 1.05, "text": "x" * 3000}, "3000 characters; 2000 is the most"),
        ({"sg": 1.05, "text": "蜜" * 1999}, "4095 are the most"),
        ({"sg": 1.05, "text": "half \ud83d"}, "surrogate"),
        ({"sg": 1.05, "at": 1}, "at is not a field"),
        ({"sg": 1.05, "list": [1]}, "list is not a field"),
        ({"sg": 1.05, "a\nb": 1.0, "mine": float("inf")}, "mine is too large"),
    ],
)
def test_what_cannot_be_written_is_refused_before_it_is(fields: dict[str, Any], reason: str, at: datetime) -> None:
    with pytest.raises(Unfit, match=reason.replace("(", r"\(")):
        line_of("k", "read", at, fields)


def test_a_key_that_is_no_bare_key_is_refused(at: datetime) -> None:
    for key in ("a.b", "", 'a"', "a b", "a\n", "x" * 81):
        with pytest.raises(Unfit):
            line_of(key, "note", at, {"text": "x"})
