"""The pages: they stand alone, tell all in words, show text from files as text, and can be read in light and dark."""

from __future__ import annotations

import asyncio
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

HEAD = 'name = "Damson"\ncapacity_l = 5.0\nschedule = "two-doses"\n[plan]\nvolume_l = 4.0\ngravity = 1.09\n'
EVIL = HEAD.replace("Damson", "<script>alert('x')</script> & \\\"Rowan\\\"")
BOOK = """
{ at = 2026-03-01T18:00:00+01:00, did = "mix", volume_l = 4.0, honey_g = 1130 }
{ at = 2026-03-01T18:10:00+01:00, did = "read", sg = 1.090, temp_c = 20 }
{ at = 2026-03-01T18:30:00+01:00, did = "pitch" }
{ at = 2026-03-05T18:00:00+01:00, did = "read", sg = 1.070, temp_c = 20 }
{ at = 2026-03-09T18:00:00+01:00, did = "read", sg = 1.050, temp_c = 20 }
"""
LIVE = BOOK + '{ at = 2026-03-10T18:00:00+01:00, did = "bottle", count = 4, size_ml = 750, override = "<b>why</b>" }\n'
ON = ("--on", "2026-03-12T12:00:00+01:00")


class Read(HTMLParser):
    """The tags of a page with their attributes, and its text outside style."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.inside = ""
        self.open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.inside = tag
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""
        if self.open and self.open[-1] == tag:
            self.open.pop()

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        if self.inside != "style":
            self.text += data

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.tags if name == tag]


@pytest.fixture
def pages(cellar: Any, fermtui: Any, tmp_path: Path) -> dict[str, Read]:
    cellar({
        "vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": BOOK,
        "vessels/rowan/vessel.toml": EVIL, "vessels/rowan/daybook.toml": LIVE,
    })  # fmt: skip
    ran = fermtui("page", "--out", str(tmp_path / "site"), *ON)
    assert ran.status == 0
    assert ran.err.splitlines()[0] == f"3 pages in {tmp_path / 'site'}"
    return {path.name: Read(path.read_text("utf-8")) for path in (tmp_path / "site").iterdir()}


def test_there_is_an_index_and_a_page_for_each_vessel(pages: dict[str, Read]) -> None:
    assert set(pages) == {"index.html", "vessel-damson.html", "vessel-rowan.html"}
    for page in pages.values():
        assert page.open == [], "every element is closed"
        assert len(page.all("h1")) == len(page.all("main")) == 1
        assert page.all("html")[0] == {"lang": "en"}
        assert {"name": "viewport", "content": "width=device-width, initial-scale=1"} in page.all("meta")


def test_no_page_asks_for_anything_or_runs_anything(pages: dict[str, Read], tmp_path: Path) -> None:
    for name, page in pages.items():
        assert not page.all("script") + page.all("link") + page.all("img") + page.all("iframe")
        for tag, attrs in page.tags:
            assert not any(key.startswith("on") or key in ("src", "srcset") for key in attrs), (tag, attrs)
        for link in page.all("a"):
            assert link["href"] in pages, "links stay among these files"
        text = (tmp_path / "site" / name).read_text("utf-8")
        assert not re.search(r"https?://|url\(|@import", text)


def test_text_from_files_is_text(pages: dict[str, Read]) -> None:
    for page in (pages["index.html"], pages["vessel-rowan.html"]):
        assert "<script>alert('x')</script> & \"Rowan\"" in page.text
        assert not page.all("script") + page.all("b")


def test_the_index_says_what_is_in_trouble_and_due(pages: dict[str, Read]) -> None:
    text = " ".join(pages["index.html"].text.split())
    assert "bottles may burst" in text
    assert "Open one" in text
    assert "late Damson: dose 1 of 2" in text
    assert re.search(r"1\.050, \d\.\d ± 0\.\d % vol", text)
    assert "likely finished" in text


def test_a_vessels_page_has_facts_with_errors_curve_steps_and_readings(pages: dict[str, Read]) -> None:
    page = pages["vessel-damson.html"]
    text = " ".join(page.text.split())
    for wanted in ("As it stands", "Gravity", "Steps", "Readings", "± 0.2 % vol", "third break"):
        assert wanted in text
    (curve,) = page.all("svg")
    assert curve["role"] == "img"
    words = re.search(r"3 readings: 1\.090 on 2026-03-01, 1\.050 on 2026-03-09; likely 0?\S+ on", text)
    assert words, "the curve is told in words"
    assert len(page.all("circle")) == 3
    assert len(page.all("polygon")) == 1
    assert all(cell.get("scope") in ("col", "row") for cell in page.all("th"))


def luminance(colour: str) -> float:
    """Relative luminance of a colour #rgb or #rrggbb: WCAG 2.2."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_words_stand_out_in_light_dark_and_print(pages: dict[str, Read], tmp_path: Path) -> None:
    assert pages
    style = (tmp_path / "site" / "index.html").read_text("utf-8").split("</style>")[0]
    schemes = [dict(re.findall(r"--(\w+): (#\w+);", block)) for block in re.findall(r":root \{(.*?)\}", style, re.S)]
    assert len(schemes) == 3
    for scheme in schemes:
        for words in ("ink", "quiet", "accent", "alarm"):
            light, dark = sorted((luminance(scheme[words]), luminance(scheme["paper"])), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 4.5, (words, scheme)  # WCAG 2.2, 1.4.3
    assert "font: 16px" in style


def test_pages_of_vessels_that_went_are_taken_away_and_others_left(cellar: Any, fermtui: Any, tmp_path: Path) -> None:
    folder = cellar({"vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": BOOK,
                     "vessels/sloe/vessel.toml": HEAD, "vessels/sloe/daybook.toml": BOOK})  # fmt: skip
    site = tmp_path / "site"
    fermtui("page", "--out", str(site), *ON)
    (site / "vessel-mine.html").write_text("<p>my own page</p>")
    (folder / "past").mkdir(exist_ok=True)
    (folder / "vessels/sloe").rename(folder / "past/sloe")
    assert fermtui("page", "--out", str(site), *ON).status == 0
    assert {path.name for path in site.iterdir()} == {"index.html", "vessel-damson.html", "vessel-mine.html"}


def test_wrong_folders_are_one_sentence(cellar: Any, fermtui: Any, tmp_path: Path) -> None:
    cellar({})
    (tmp_path / "file").write_text("")
    assert fermtui("page").status == 2
    for place in ("file", "file/below"):
        ran = fermtui("page", "--out", str(tmp_path / place))
        assert (ran.status, len(ran.err.splitlines())) == (1, 1)
    assert fermtui("page", "--out", str(tmp_path / "new" / "deep")).status == 0
    assert "No vessel stands in this cellar yet" in (tmp_path / "new/deep/index.html").read_text()


def test_an_entry_renews_the_pages_that_cellar_toml_names(cellar: Any, fermtui: Any, tmp_path: Path) -> None:
    site = tmp_path / "site"
    cellar({"cellar.toml": f'timezone = "Europe/Vienna"\n[page]\nout = "{site}"\n',
            "vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": BOOK})  # fmt: skip
    assert fermtui("write", "damson", "note", "text=hello").status == 0
    assert "1.050" in (site / "vessel-damson.html").read_text()
    assert fermtui("page").status == 0
    (site / "index.html").unlink()
    (site / "index.html").mkdir()  # cannot be replaced
    ran = fermtui("write", "damson", "note", "text=hello again")
    assert ran.status == 0
    assert "the entry is written" in ran.err


def test_a_record_is_a_page_too(cellar: Any, fermtui: Any) -> None:
    cellar({"vessels/rowan/vessel.toml": EVIL, "vessels/rowan/daybook.toml": LIVE})
    page = Read(fermtui("record", "rowan", "--html", *ON).out)
    assert page.open == []
    assert not page.all("script") + page.all("b") + page.all("a")
    assert "<b>why</b>" in page.text
    assert "How the strength is reckoned" in page.text
    assert len(page.all("svg")) == 1


async def test_the_screens_renew_the_pages_beside_the_work(
    cellar: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from datetime import UTC, datetime

    from fermtui.cellar.store import CellarStore
    from fermtui.daybook.places import open_cellar
    from fermtui.tui import app as screens
    from fermtui.tui.session import Session

    site = tmp_path / "site"
    folder = cellar({"cellar.toml": f'timezone = "Europe/Vienna"\n[page]\nout = "{site}"\n',
                     "vessels/damson/vessel.toml": HEAD, "vessels/damson/daybook.toml": BOOK})  # fmt: skip
    monkeypatch.setattr(screens, "PAGES_AFTER_S", 0.0)
    now = datetime(2026, 3, 12, 11, 0, tzinfo=UTC)
    store = CellarStore(open_cellar(folder), lambda: now)
    app = screens.Fermtui(lambda: Session(store, lambda: now.astimezone(store.settings.zone)))
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause()
        app.commands.read("damson")
        await pilot.pause()
        await pilot.press(*"1.045", "enter")
        for _ in range(200):
            if (site / "index.html").exists():
                break
            await asyncio.sleep(0.1)
    assert "1.045" in (site / "index.html").read_text()
