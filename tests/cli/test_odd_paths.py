"""What a person gives as a path or a name is printed without anything that a terminal would obey."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from fermtui.cli.main import run

Cellar = Callable[[Mapping[str, str]], Path]
ODD = "a\x1b[31mb\x9bc\rd"
PAGES = {
    "vessels/rowan/vessel.toml": 'name = "Rowan"\nschedule = "two-doses"\n[plan]\nvolume_l = 4\n',
    "vessels/rowan/daybook.toml": '{ at = 2026-01-10T10:00:00+01:00, did = "pitch" }\n',
}


@pytest.mark.parametrize(
    "words",
    [
        ["due", "--cellar", "{odd}"], ["start", "A", "--volume", "4", "--gravity", "1.09", "--cellar", "{odd}"],
        ["export", "--out", "{odd}"], ["page", "--out", "{odd}"],
        ["export", "--out", "{odd}/x"], ["calendar", "--out", "{odd}.ics"],
        ["import", "rowan", "{odd}"], ["demo", "{odd}"], ["show", ODD], ["read", ODD, "1.05"], ["read", "rowan", ODD],
        ["write", "rowan", ODD], ["write", "rowan", "note", f"{ODD}=1"], ["tick", "rowan", ODD],
        ["schedule", "show", ODD],
        ["schedule", "copy", "two-doses", ODD], ["bench", ODD], [ODD], ["--" + ODD], ["due", "--days", ODD],
        ["bench", "correct", "1.05", "30", "--cellar", "{odd}"], ["put-away", ODD], ["sync", "--wait", ODD],
        ["strike", "rowan", ODD], ["compare", ODD, "rowan"], ["due", "--on", ODD], ["help", ODD], ["label", ODD],
        ["schedule", "copy", "two-doses", "mine", "--cellar", "{odd}-cellar"],
        ["check", "--cellar", "{odd}-cellar"], ["put-away", "rowan", "--cellar", "{odd}-cellar"], ["{odd}/x", "due"],
    ],
)  # fmt: skip
def test_no_control_character_is_printed_raw(
    cellar: Cellar,
    tmp_path: Path,
    words: list[str],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    folder = cellar(PAGES)
    odd = tmp_path / ODD
    (tmp_path / f"{ODD}-cellar").symlink_to(folder)
    monkeypatch.setenv("FERMTUI_CELLAR", str(folder))
    monkeypatch.setenv("TERM", "dumb")
    capsys.readouterr()
    run([word.replace("{odd}", str(odd)) for word in words])
    told = capsys.readouterr()
    assert told.out + told.err
    assert not set("\x1b\x9b\r") & {*told.out, *told.err}, (told.out, told.err)
