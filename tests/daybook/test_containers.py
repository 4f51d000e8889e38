"""What a racking may name: a container of cellar.toml, a plain size, or a new one with its size."""

from __future__ import annotations

import pytest

from fermtui.daybook.containers import NamedContainer, named_container
from fermtui.units import GALLON_L

LISTED = {"Demijohn 1": 5.0, "Jug, 2 L": 2.0, "5 L": 4.8}


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("Demijohn 1", NamedContainer("Demijohn 1", 5.0)),
        ("Jug, 2 L", NamedContainer("Jug, 2 L", 2.0)),  # a name of cellar.toml goes before what it could mean
        ("5 L", NamedContainer("5 L", 4.8)),
        ("10 L", NamedContainer("10 L", 10.0, plain=True)),
        ("4,5 l", NamedContainer("4,5 l", 4.5, plain=True)),
        ("1 gal", NamedContainer("1 gal", GALLON_L, plain=True)),
        ("Balloon, 10 L", NamedContainer("Balloon", 10.0)),
        ("Balloon, blue, 4,5 L", NamedContainer("Balloon, blue", 4.5)),
        ("Demijohn 1, 5 L", NamedContainer("Demijohn 1", 5.0)),
        ("Demijohn 1, 3 L", NamedContainer("Demijohn 1", 5.0, listed_l=5.0)),
        ("Balloon", NamedContainer("Balloon", None)),
        ("Balloon, 0 L", NamedContainer("Balloon", None)),
        ("5 eggs", NamedContainer("5 eggs", None, plain=True)),
        ("", NamedContainer("", None)),
    ],
)
def test_what_is_said(said: str, meant: NamedContainer) -> None:
    assert named_container(said, LISTED) == meant
