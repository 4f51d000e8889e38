"""Disposable: whatever happens to the file, the worst is that it is empty."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from typing import Any

import pytest

from fermtui.cellar import cache as caching
from fermtui.cellar.cache import Cache, cache_path, content_key
from fermtui.daybook.places import Cellar


def same(value: Any) -> Any:
    return value


def test_values_come_back_after_saving(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "cache.json"
    cache = Cache(path)
    assert cache.get("number", "a", read=same) is None
    cache.put("number", {"sg": 1.05, "list": [1, None]}, "a")
    assert cache.save()
    assert Cache(path).get("number", "a", read=same) == {"sg": 1.05, "list": [1, None]}
    assert os.listdir(path.parent) == ["cache.json"]


def test_a_cache_that_nothing_was_put_into_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "cache.json"
    assert Cache(path).save()
    assert not path.exists()


@pytest.mark.parametrize(
    "data", [b"", b"{", b"[1]", b"\xff", b"null", b"[" * 100_000, b'{"a": ' + b"9" * 5000 + b"}", bytes(100)]
)
def test_a_damaged_file_is_an_empty_cache(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "cache.json"
    path.write_bytes(data)
    cache = Cache(path)
    assert cache.get("number", "a", read=same) is None
    cache.put("number", 1, "a")
    assert cache.save()
    assert Cache(path).get("number", "a", read=same) == 1


def test_a_pipe_or_a_folder_in_its_place_is_an_empty_cache(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    for name in ("pipe", "folder"):
        assert Cache(tmp_path / name).get("number", "a", read=same) is None


def test_a_full_disk_harms_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "cache.json"
    cache = Cache(path)
    cache.put("number", 1, "a")
    cache.save()

    def failing(*_: Any, **__: Any) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    cache.put("number", 2, "b")
    with monkeypatch.context() as full:
        full.setattr(os, "write", failing)
        assert not cache.save()
    assert [found.name for found in tmp_path.iterdir()] == ["cache.json"]
    assert Cache(path).get("number", "a", read=same) == 1


def test_what_was_used_longest_ago_goes_first(tmp_path: Path) -> None:
    cache = Cache(tmp_path / "cache.json", 3)
    for key in "abcd":
        cache.put("number", key, key)
        cache.get("number", "a", read=same)
    cache.save()
    again = Cache(tmp_path / "cache.json")
    assert [again.get("number", key, read=same) for key in "abcd"] == ["a", None, "c", "d"]


def test_a_value_is_found_by_kind_parts_and_code(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache(tmp_path / "cache.json")
    cache.put("number", 1, "a", b"b")
    assert cache.get("number", "a", "b", read=same) == 1
    assert cache.get("other", "a", "b", read=same) is None
    assert cache.get("number", "a", read=same) is None
    monkeypatch.setattr(caching, "code_stamp", lambda: "other code")
    assert cache.get("number", "a", "b", read=same) is None


@pytest.mark.parametrize("value", ["x", None, [1], {"a": 1}, 10**20], ids=repr)
def test_a_wrong_shape_is_a_miss(value: object, tmp_path: Path) -> None:
    cache = Cache(tmp_path / "cache.json")
    cache.put("number", value, "a")
    assert cache.get("number", "a", read=lambda stored: stored + 1) is None


def test_keys_are_those_of_the_parts_and_their_borders() -> None:
    keys = [content_key(), content_key(b""), content_key(b"ab"), content_key(b"a", b"b"), content_key(b"b", b"a")]
    assert len(set(keys)) == len(keys)
    assert content_key(b"a", b"b") == content_key(b"a", b"b")


def test_each_cellar_has_its_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("FERMTUI_CACHE", str(tmp_path))
    one, other = cache_path(Cellar(Path("/a"))), cache_path(Cellar(Path("/b")))
    assert one.parent == other.parent == tmp_path
    assert one != other
    monkeypatch.delenv("FERMTUI_CACHE")
    assert "fermtui" in cache_path(Cellar(Path("/a"))).parts


def test_what_is_put_for_later_is_made_when_it_is_wanted(tmp_path: Path) -> None:
    path, asked = tmp_path / "cache.json", list[str]()

    def make() -> list[int]:
        asked.append("asked")
        return [1, 2]

    cache = Cache(path)
    cache.put("number", make, "a")
    assert not asked
    assert cache.get("number", "a", read=same) == [1, 2]
    cache.put("number", make, "b")
    assert cache.save()
    for known in (cache, Cache(path)):
        assert [known.get("number", key, read=same) for key in "ab"] == [[1, 2]] * 2
    assert len(asked) == 3  # once when wanted, once each when saved
