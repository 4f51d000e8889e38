"""A name is shown back as it was understood, where it brings sugar or strength."""

from __future__ import annotations

import pytest

from fermtui.wording.kinds import done_text


@pytest.mark.parametrize(
    ("did", "fields", "text"),
    [
        ("add", {"what": "Traubensaft", "volume_l": 1.0}, "understood as grape juice, 14 % sugar"),
        ("add", {"what": "Birkenzucker", "mass_g": 100}, "understood as sweetener that does not ferment, no sugar"),
        ("top_up", {"with": "Obstbrand", "volume_l": 0.2}, "understood as spirit, 40 % vol"),
    ],
)
def test_it_is_shown_back(did: str, fields: dict[str, object], text: str) -> None:
    assert text in done_text(did, fields)


@pytest.mark.parametrize(
    ("did", "fields"),
    [
        ("add", {"what": "tartaric acid", "mass_g": 2}), ("add", {"what": "kvass", "volume_l": 1.0}),
        ("add", {"what": "apple juice", "volume_l": 1.0, "sugar_g": 90}),
        ("top_up", {"with": "water", "volume_l": 0.2}),
        ("top_up", {"with": "vodka", "volume_l": 0.2, "abv_percent": 38}),
    ],
)  # fmt: skip
def test_what_needs_no_word_gets_none(did: str, fields: dict[str, object]) -> None:
    assert "understood" not in done_text(did, fields)
