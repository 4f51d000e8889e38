"""A cellar to spoil, and the soak scripts of tests/bench, which the tests here run for a short while."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar, create

AT = datetime(2026, 3, 18, 20, 15, tzinfo=timezone(timedelta(hours=1)))
settings.register_profile("a busy machine", deadline=None)
settings.load_profile("a busy machine")
BENCH = Path(__file__).parent / "bench"


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Return 4 workers for the whole suite, 0 (this process) where folders or files are named."""
    return 4 if config.args_source is pytest.Config.ArgsSource.TESTPATHS else 0


@pytest.fixture
def at() -> datetime:
    return AT


@pytest.fixture
def cellar(tmp_path: Path) -> Cellar:
    """An empty cellar with the vessel damson-26."""
    made = create(tmp_path / "cellar", 'timezone = "Europe/Vienna"\n')
    start_vessel(made, "damson-26", {"name": "Damson", "capacity_l": 5.0, "plan": {"volume_l": 4.2, "gravity": 1.095}})
    return made


@pytest.fixture
def soak() -> Callable[[str], Any]:
    """Loads a script of tests/bench by its name."""

    def load(name: str) -> Any:
        spec = importlib.util.spec_from_file_location(f"bench_{name}", BENCH / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[spec.name] = module  # dataclasses look their own module up
        spec.loader.exec_module(module)
        return module

    return load


@pytest.fixture(autouse=True)
def _no_git_of_ones_own(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name.startswith("GIT_"):
            monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
