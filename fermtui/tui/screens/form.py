"""A form for one entry: computed values filled in, what speaks against it, and the cautions of that moment."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.suggester import SuggestFromList
from textual.widgets import Input

from fermtui.cellar.store import VesselView
from fermtui.daybook.fields import Unfit
from fermtui.daybook.kinds import KINDS
from fermtui.reports.entry_text import written_line
from fermtui.tui.actions import FORM, bindings
from fermtui.tui.consequences import consequences
from fermtui.tui.hints import TAKEN, choices, choices_text, field_label, unit_of
from fermtui.tui.screens.base import Modal
from fermtui.tui.widgets.lines import Line, whole_sentences, wrapped
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.wording.cautions import caution_lines
from fermtui.wording.fields import unfit_text
from fermtui.wording.findings import finding_text
from fermtui.wording.kinds import KINDS as WORDS
from fermtui.wording.plain import plain
from fermtui.writing import door, entries
from fermtui.writing.field_input import fields_from_words
from fermtui.writing.refused import GUARD, Refused

if TYPE_CHECKING:
    from fermtui.daybook.lines import Scalar
    from fermtui.schedule.task import Task
    from fermtui.tui.session import Session

NOT_ASKED = frozenset({"task", "override", "entry"})  # the other half of a pouring is found, not typed
REASON = "why all the same"
ENDS = 10
"""Cells of a line that words may leave free."""


class EntryForm(Modal):
    """Enter writes, Tab or the arrows go from field to field, Esc leaves.

    `planned` fills the fields in. A subclass may say otherwise what stands behind the entry.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings(FORM)

    def __init__(
        self, session: Session, view: VesselView, did: str, planned: dict[str, Scalar | None], title: str
    ) -> None:
        super().__init__()
        self.session, self.view, self.did, self.planned, self.heading = session, view, did, planned, title
        asked = [name for name in KINDS[did].fields if name not in NOT_ASKED]
        self.names = sorted(asked, key=lambda name: name == "text")  # the free words come last
        self.fits: dict[str, dict[str, str]] = {}
        self.judged: tuple[list[str], list[str]] = ([], [])
        self.consequences = ""

    def fields(self, given: dict[str, Scalar | None]) -> dict[str, Scalar | None]:
        """The fields of the entry: what is planned, with what was typed in its place."""
        return {**self.planned, **given}

    def write(self, given: dict[str, Scalar | None], override: str | None) -> entries.WrittenEntry:
        """Put it down. Raises Refused."""
        session, now = self.session, self.session.clock()
        return door.write(
            session.store, self.view.vessel, self.did, self.fields(given), at=now, now=now, override=override
        )

    def asks(self) -> Task | None:
        """The task that this entry answers, for the explanation of its numbers."""
        return next((task for task in self.view.tasks if task.is_open and task.do == self.did), None)

    def remarks(self) -> list[str]:
        """Further sentences to read before it is written."""
        return []

    def compose(self) -> ComposeResult:
        with Vertical(id="foot"):
            yield PaintedText(id="foot-title")
            for name in self.names:
                with Horizontal(classes="field"):
                    units = self.session.view.settings.units
                    label, hint = field_label(self.did, name, units)
                    unit = unit_of(self.did, name, units)
                    yield PaintedText([[(f"  {label}, {unit}" if unit else f"  {label}", "quiet")]], classes="label")
                    fit = self.fits[name] = choices(self.session, self.view.vessel, self.did, name)
                    offer = SuggestFromList(fit, case_sensitive=False) if fit else None
                    field = Input(
                        self._filled(name), hint, suggester=offer, compact=True, max_length=200, id=f"field-{name}"
                    )
                    yield field.set_class(hint.startswith(TAKEN), "-taken")
            with Horizontal(classes="field", id="reason"):
                yield PaintedText([[(f"  {REASON}", "warn")]], classes="label")
                yield Input(placeholder="a reason, kept with the entry", compact=True, id="override")
            yield PaintedText(id="foot-says")

    def _filled(self, name: str) -> str:
        value = self.planned.get(name)
        if isinstance(value, float) and unit_of(self.did, name, self.session.view.settings.units) == "°F":
            value = 1.8 * value + 32.0
        return "" if value is None else f"{value:g}" if isinstance(value, float) else plain(value, 200)

    def on_mount(self) -> None:
        self.query_one("#reason").display = False
        self.query_one("#foot-title", PaintedText).show(
            [self.foot_title(f"{plain(self.view.name, 30)}, {self.heading}", FORM)]
        )
        self._judge()
        empty = next((name for name in self.names if not self._filled(name)), self.names[0])
        self.query_one(f"#field-{empty}", Input).focus()

    def _given(self) -> dict[str, Scalar | None]:
        """What stands in the fields. Raises Unfit."""
        typed = {name: self.query_one(f"#field-{name}", Input).value for name in self.names}
        settings = self.session.view.settings
        filled = {name: text for name, text in typed.items() if text.strip() and text != self._filled(name)}
        given: dict[str, Scalar | None] = dict(
            fields_from_words(self.did, filled, settings.zone, settings.units, in_form=True)
        )
        return {**given, **{name: None for name, text in typed.items() if not text.strip()}}

    def on_input_changed(self) -> None:
        self._judge()

    def _judge(self) -> None:
        """Say what speaks against it and what to be careful about, as the fields stand now."""
        self.judged = self._judged()
        self._say(*self.judged)

    def on_descendant_focus(self) -> None:
        self._say(*self.judged)  # what fits the field under the cursor stands with it

    def _judged(self) -> tuple[list[str], list[str]]:
        now = self.session.clock()
        store = self.session.store
        self.consequences = ""
        try:
            ready = entries.prepare(store, self.view.vessel, self.did, self.fields(self._given()), at=now, now=now)
        except (Refused, Unfit) as why:
            missing = ", ".join(self._missing())
            return ([], [f"Still to give: {missing}."]) if missing else ([_text(why)], [])
        units = self.session.view.settings.units
        self.query_one("#reason").display = bool(ready.refusals)
        self.consequences = consequences(self.session, self.view.vessel, self.did, ready.fields)
        against = [finding_text(finding, units) for finding in ready.findings]
        return [*against, *([] if ready.refusals else self.remarks())], caution_lines(ready.cautions, units)

    def _missing(self) -> list[str]:
        """The labels of the fields that must be given and are empty."""
        required = KINDS[self.did].struct.required
        return [
            field_label(self.did, name, self.session.view.settings.units)[0]
            for name in self.names
            if name in required and not self.query_one(f"#field-{name}", Input).value.strip()
        ]

    def _say(self, against: list[str], cautions: list[str]) -> None:
        width = self.app.size.width
        lines: list[Line] = [line for text in against for line in wrapped(text, "warn", width, 8)]
        focused = (self.focused.id or "").removeprefix("field-") if self.focused is not None else ""
        lines += wrapped(self.consequences, "strong", width, 2)
        lines += wrapped(self._choices_of(focused, 3 * (width - ENDS)), "accent", width, 3)
        lines += [line for text in cautions for line in whole_sentences(text, "text", width, 4)]
        # What speaks against it is never cut; of the cautions as much as the window has room for.
        room = max(3, self.app.size.height - len(self.names) - 4)
        says = self.query_one("#foot-says", PaintedText)
        says.styles.height = min(len(lines), room)
        says.styles.margin = (1 if len(lines) < room else 0, 0, 0, 0)  # a gap after the fields where there is room
        says.show(lines[:room])

    def _choices_of(self, name: str, cells: int) -> str:
        """What fits the field, as far as it goes on from what is typed there."""
        if not self.fits.get(name) and (self.did, name) != ("rack", "into"):
            return ""
        typed = self.query_one(f"#field-{name}", Input).value
        return choices_text(self.fits[name], self.did, name, typed, cells)

    def on_input_submitted(self) -> None:
        self.action_write()

    def action_write(self) -> None:
        override = self.query_one("#override", Input).value.strip() or None
        try:
            done = self.write(self._given(), override)
        except (Refused, Unfit) as why:
            self._say([_text(why)], [])
            if isinstance(why, Refused) and why.code == GUARD:
                against, cautions = self._judged()
                leave = self.fermtui.key("leave")
                wanted = f"Nothing is written yet: type a reason beside '{REASON}', or {leave} leaves it."
                self.judged = [wanted, *against], cautions
                self._say(*self.judged)
                self.query_one("#reason").display = True
                self.query_one("#override", Input).focus()
            return
        self.fermtui.was_written(done, written_line(done, self.session.view))
        self.dismiss(None)

    def action_how(self) -> None:
        from fermtui.tui.screens.sources import Sources  # opened now and then

        self.app.push_screen(Sources(self.session, self.view, WORDS[self.did].explained or None, self.asks()))


def _text(why: Refused | Unfit) -> str:
    return unfit_text(why) if isinstance(why, Unfit) else str(why)
