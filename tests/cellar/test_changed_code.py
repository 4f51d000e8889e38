"""An update that computes other numbers shows them at once, however full the cache of the old code is."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import fermtui
from fermtui.writing.sample import sample_path

PACKAGE = Path(fermtui.__file__).parent
ASK = "import sys; from fermtui.cli.main import run; sys.exit(run(sys.argv[1:]))"
STAMP = "from fermtui.cellar.cache import code_stamp; print(code_stamp())"
CHANGES = [
    ("must/composition.py", "EXTRACT_PER_ETHANOL = 2.0665", "EXTRACT_PER_ETHANOL = 2.2665", "show damson --json"),
    ("forecast/priors.py", "_LATE_SHARE = 0.50", "_LATE_SHARE = 0.95", "show damson --json"),
    ("schedule/library/fruit-from-start.toml", "months = 6", "months = 5", "due --json"),
]


def output_of(package: Path, code: str, *words: str, cache: str = "cache") -> str:
    """What a fresh interpreter prints that finds the package there."""
    env = {
        **os.environ,
        "PYTHONPATH": str(package),
        "PYTHONDONTWRITEBYTECODE": "1",  # compiled files know a change of the same length only by the second
        "FERMTUI_CACHE": str(package.parent / cache),
    }
    command = [sys.executable, "-c", code, *words]
    return subprocess.run(command, capture_output=True, text=True, env=env, check=True, cwd=package.parent).stdout


def copied(folder: Path) -> Path:
    shutil.copytree(PACKAGE, folder / "site" / "fermtui", ignore=shutil.ignore_patterns("__pycache__"))
    return folder / "site"


@pytest.mark.parametrize(("name", "old", "new", "call"), CHANGES, ids=[one[0] for one in CHANGES])
def test_changed_code_does_not_meet_what_the_old_code_stored(
    name: str, old: str, new: str, call: str, tmp_path: Path
) -> None:
    site = copied(tmp_path)
    words = ["--cellar", str(sample_path()), "--on", "2026-03-18T19:00", *call.split()]
    before = [output_of(site, ASK, *words), output_of(site, ASK, *words)]
    assert before[0] == before[1]
    path = site / "fermtui" / name
    looks, text = path.stat(), path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    os.utime(path, ns=(looks.st_atime_ns, looks.st_mtime_ns))  # as an installer may set them
    warm, cold = output_of(site, ASK, *words), output_of(site, ASK, *words, cache="empty")
    assert warm == cold
    assert warm != before[0]


def test_an_archive_stands_for_its_files(tmp_path: Path) -> None:
    site = copied(tmp_path)
    archive = tmp_path / "site.zip"
    stamps = [output_of(site, STAMP)]
    for comment in (b"", b"another"):
        with zipfile.ZipFile(archive, "w") as packed:
            packed.comment = comment
            for path in sorted(site.rglob("*.py")):
                packed.write(path, path.relative_to(site))
        stamps += [output_of(archive, STAMP), output_of(archive, STAMP)]
    assert stamps[1] == stamps[2] != stamps[3] == stamps[4] != stamps[0]
