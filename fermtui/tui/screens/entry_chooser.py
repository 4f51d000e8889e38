"""Write any entry: choose what was done, then a form with its fields."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from fermtui.daybook.kinds import KINDS
from fermtui.tui.actions import ENTRY_LIST, bindings
from fermtui.tui.screens.base import Modal, head
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import fit
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.rows import ListItem, Rows
from fermtui.wording.kinds import KINDS as WORDS
from fermtui.wording.plain import plain
from fermtui.writing import entries
from fermtui.writing.refused import Refused

if TYPE_CHECKING:
    from collections.abc import Callable

    from fermtui.cellar.store import VesselView
    from fermtui.daybook.lines import Scalar
    from fermtui.tui.session import Session


def planned_for(session: Session, view: VesselView, did: str) -> dict[str, Scalar | None]:
    """What an open step of this kind asks for, as the form's first values."""
    task = next((task for task in view.tasks if task.is_open and task.do == did), None)
    if task is None:
        return {}
    try:
        fields = entries.fields_of_task(session.store, view, task.key, {})[1]
    except Refused:
        return {}
    return {name: value for name, value in fields.items() if name != "task"}


class EntryChooser(Modal):
    """Every kind of entry, for the vessel under the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(ENTRY_LIST)
    AUTO_FOCUS = "#kinds"

    def __init__(self, session: Session, view: VesselView, chosen: Callable[[str], None]) -> None:
        """`chosen` is called with the kind, once the list is gone."""
        super().__init__()
        self.session, self.view, self.chosen = session, view, chosen

    def compose(self) -> ComposeResult:
        yield head(plain(self.view.name, 40), "what was done to it?")
        yield Rows("entry", ascii_only=self.session.ascii_only, id="kinds")
        yield KeyLine(ENTRY_LIST, id="keys")

    def on_mount(self) -> None:
        rows = [
            ListItem(did, [(fit(WORDS[did].to_do, 22) + " ", "text"), (WORDS[did].about, "quiet")])
            for did, kind in KINDS.items()
            if kind.listed
        ]
        self.query_one("#kinds", Rows).show(tuple(rows))

    def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        did = self.query_one("#kinds", Rows).chosen
        self.dismiss(None)
        if did is not None:
            self.chosen(did)
