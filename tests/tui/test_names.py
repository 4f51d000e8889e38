"""Two vessels of one name can be told apart wherever they stand in a row."""

from __future__ import annotations

from pathlib import Path

import pytest

from fermtui.cellar.agenda import agenda
from fermtui.cli.due import as_lines
from fermtui.tui.widgets.lines import name_runs
from fermtui.tui.widgets.painted_lines import PaintedLines
from looking import Make, shown

from .conftest import DAMSON, DAMSON_BOOK, write_vessel


@pytest.mark.parametrize("width", [60, 80, 120])
async def test_a_shared_name_stands_with_its_folder(app_of: Make, cellar: Path, width: int) -> None:
    write_vessel(cellar, "damson-2", DAMSON.replace("Demijohn 1", "Demijohn 2"), DAMSON_BOOK)
    app = app_of()
    async with app.run_test(size=(width, 24)) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        for piece in ("due", "line"):
            rows = [line for line in shown(app, piece).splitlines() if "Damson" in line]
            assert any("Damson damson " in row for row in rows)
            assert any("Damson damson-2 " in row for row in rows)
            assert not any("heather" in row for row in shown(app, piece).splitlines())
        runs = [
            (run[0].strip(), run[1]) for line in app.screen.query_one("#line", PaintedLines).lines() for run in line
        ]
        assert ("damson-2", "quiet") in runs
        view = app.session.view
        printed = "\n".join(as_lines(agenda(view), view))
        assert "Damson (damson) " in printed
        assert "Damson (damson-2) " in printed
        assert "(heather)" not in printed


def test_where_both_have_no_room_the_end_of_the_folder_stays() -> None:
    def said(cells: int) -> str:
        return "".join(text for text, _ in name_runs("Blackcurrant", "blackcurrant-26-2", cells, "text"))

    assert said(30) == "Blackcurrant blackcurrant-26-2"
    assert said(24) == "Blac.. blackcurrant-26-2"
    assert said(16) == "Bla.. ..ant-26-2"
    for cells in range(12, 40):
        assert len(said(cells)) == cells
        assert said(cells).rstrip().endswith("26-2")
