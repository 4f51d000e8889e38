"""Fields in the words of the trade; who types them by name is told the name as well."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from fermtui.daybook.fields import Unfit
from fermtui.daybook.kinds import KINDS
from fermtui.wording.fields import field_name, unfit_text


def test_no_field_is_told_by_its_name_in_the_file() -> None:
    names = {name for kind in KINDS.values() for name in kind.fields}
    assert {name for name in names if "_" in field_name(name)} == set()
    codes = {name for name in names if re.search(r"_(l|ml|g|mg|c|sg|percent|mg_per_l|um)$", name)}
    assert {name for name in codes if field_name(name) == name.replace("_", " ")} == set()


@pytest.mark.parametrize(
    ("unfit", "said", "typed"),
    [
        (
            Unfit("dose needs {}", "dap_g", "complex_g"),
            "dose needs DAP or complex nutrient",
            "dose needs DAP (dap_g=) or complex nutrient (complex_g=)",
        ),
        (Unfit("note needs {}", "text", "what"), "note needs text or what", "note needs text or what"),
        (Unfit("write dap_g= for it"), "write dap_g= for it", "write dap_g= for it"),
        (Unfit("{} is one of still, beer, not '{}'", "glass"),) + 2 * ("glass is one of still, beer, not '{}'",),
    ],
)
def test_a_sentence(unfit: Unfit, said: str, typed: str) -> None:
    assert unfit_text(unfit) == said
    assert unfit_text(unfit, typed=True) == typed


def test_a_refusal_says_both_only_to_who_types_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from datetime import UTC, datetime

    from fermtui.cellar.store import CellarStore
    from fermtui.daybook.places import Cellar
    from fermtui.writing import door
    from fermtui.writing.refused import Refused

    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path / "cache"))
    folder = tmp_path / "cellar/vessels/damson"
    folder.mkdir(parents=True)
    (folder / "vessel.toml").write_text('name = "Damson"\n')
    (folder / "daybook.toml").write_text("")
    now = datetime(2026, 3, 1, tzinfo=UTC)
    store = CellarStore(Cellar(tmp_path / "cellar"), lambda: now)
    fields: dict[str, Any] = {"dap_g": -1}
    with pytest.raises(Refused) as refused:
        door.write(store, "damson", "dose", fields, at=now, now=now)
    assert str(refused.value) == "damson: DAP is a number from 0 to 10000, not -1"
    assert refused.value.typed == "damson: DAP (dap_g=) is a number from 0 to 10000, not -1"
