"""The screen follows what other programs write."""

from __future__ import annotations

import os
from datetime import datetime

from fermtui.daybook.append import append
from fermtui.daybook.archive import move_to_past
from fermtui.daybook.lines import line_of
from fermtui.daybook.new_vessel import start_vessel
from fermtui.daybook.places import Cellar
from fermtui.daybook.watch import Changes, Watch


def test_each_change_is_seen_once(cellar: Cellar, at: datetime) -> None:
    watch = Watch(cellar)
    assert not watch.poll()
    append(cellar, "damson-26", line_of("a", "note", at, {"text": "x"}))
    assert watch.poll() == Changes(changed=frozenset({"damson-26"}))
    assert not watch.poll()
    start_vessel(cellar, "rowan-26", {"name": "Rowan"})
    assert watch.poll() == Changes(appeared=frozenset({"rowan-26"}))
    move_to_past(cellar, "rowan-26")
    assert watch.poll() == Changes(vanished=frozenset({"rowan-26"}), past=True)
    (cellar.path / "cellar.toml").write_text("# shorter\n")
    assert watch.poll() == Changes(settings=True)
    (cellar.path / "schedules" / "mine.toml").write_text("title = 'Mine'\n")
    assert watch.poll() == Changes(schedules=True)
    assert not watch.poll()


def test_an_editor_that_saves_the_same_size_at_the_same_time_is_seen(cellar: Cellar) -> None:
    head = cellar.path / "vessels" / "damson-26" / "vessel.toml"
    watch = Watch(cellar)
    before = head.stat()
    copy = head.with_suffix(".new")
    copy.write_bytes(head.read_bytes().replace(b"Damson", b"Quince"))
    os.utime(copy, ns=(before.st_atime_ns, before.st_mtime_ns))
    copy.replace(head)
    assert watch.poll() == Changes(changed=frozenset({"damson-26"}))


def test_a_cellar_that_goes_away_raises_nothing(cellar: Cellar) -> None:
    watch = Watch(cellar)
    cellar.path.rename(cellar.path.with_name("moved"))
    changes = watch.poll()
    assert changes.vanished == {"damson-26"}
    assert changes.settings
