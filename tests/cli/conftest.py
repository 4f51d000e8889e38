"""A cellar written out page by page, and the commands run in this process."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from fermtui.cli.main import run


class Ran(NamedTuple):
    """What a command came to."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Pages = Mapping[str, str]
Fermtui = Callable[..., Ran]


@pytest.fixture
def cellar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[Pages], Path]:
    """(pages by their path in the cellar) -> its folder. Daybook lines may leave out their key."""
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))

    def made(pages: Pages) -> Path:
        folder = tmp_path / "cellar"
        (folder / "vessels").mkdir(parents=True, exist_ok=True)
        for path, page in {"cellar.toml": 'timezone = "Europe/Vienna"\n', **pages}.items():
            target = folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            lines = [line.strip() for line in page.strip().splitlines()]
            if path.endswith("daybook.toml"):
                lines = [line if not line.startswith("{") else f"e{at:03d} = {line}" for at, line in enumerate(lines)]
            target.write_text("\n".join(lines) + "\n", "utf-8")
        return folder

    return made


@pytest.fixture
def fermtui(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Fermtui:
    """(words of a call) -> status, output, messages; in the cellar of this test."""

    def ran(*words: str) -> Ran:
        capsys.readouterr()
        status = run(["--cellar", str(tmp_path / "cellar"), *words])
        told = capsys.readouterr()
        return Ran(status, told.out, told.err)

    return ran
