"""The bench: sums without a vessel. To the left the sums, to the right what one takes and what comes out, as typed."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from fermtui.bench.options import WrongOptions, with_usual
from fermtui.bench.result import Sum, cautions_of, rows
from fermtui.bench.table import SUMS, solve
from fermtui.must.limits import OutOfRange
from fermtui.tui.actions import BENCH, bindings
from fermtui.tui.hints import TAKEN, example, taken
from fermtui.tui.screens.base import Modal
from fermtui.tui.screens.sources import steps_lines
from fermtui.tui.screens.text_page import TextPage
from fermtui.tui.widgets.keyline import KeyLine
from fermtui.tui.widgets.lines import Line, fit, wrapped
from fermtui.tui.widgets.listing import Listing
from fermtui.tui.widgets.painted_lines import PaintedText
from fermtui.tui.widgets.rows import ListItem, Rows
from fermtui.units import Unreadable
from fermtui.wording.plain import plain

if TYPE_CHECKING:
    from fermtui.tui.session import Session

LABEL = 14


class BenchScreen(Modal):
    """Tab goes to the values and through them; `how` shows how it was reckoned."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(BENCH)
    AUTO_FOCUS = "#sums"

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.settings = session.store.settings
        self.what = next(iter(SUMS))
        self.found: Sum | None = None
        self.says: dict[str, str] = {}

    def compose(self) -> ComposeResult:
        yield PaintedText(id="head")
        with Horizontal(id="bench"):
            yield Rows("sum", ascii_only=self.session.ascii_only, id="sums")
            with Vertical(id="sum"):
                yield VerticalScroll(id="asked", can_focus=False)
                yield PaintedText(id="said")
                yield PaintedText(id="result")
        yield KeyLine(BENCH, id="keys")

    async def on_mount(self) -> None:
        self.query_one("#sums", Rows).show(tuple(ListItem(name, [(name, "text")]) for name in SUMS))
        await self._ask()

    async def on_listing_moved(self, event: Listing.Moved) -> None:
        event.stop()
        self.what = self.query_one("#sums", Rows).chosen or self.what
        await self._ask()

    def on_listing_opened(self, event: Listing.Opened) -> None:
        event.stop()
        first = self.query("#asked Input").first(Input)
        first.focus()

    async def _ask(self) -> None:
        """The fields of the chosen sum, with the maker's own values where there are some."""
        options = with_usual(SUMS[self.what].options, self.settings)
        asked = self.query_one("#asked", VerticalScroll)
        await asked.remove_children()
        fields = []
        for option in options:
            hint = taken(option.usual) if option.usual else example(option.like)
            label = PaintedText([[(fit(option.name.replace("-", " "), LABEL), "quiet")]], classes="label")
            field = Input(placeholder=hint, compact=True, max_length=60, id=f"option-{option.name}")
            field.set_class(hint.startswith(TAKEN), "-taken")
            says = PaintedText([[(option.says, "quiet")]], classes="says")
            fields.append(Horizontal(label, field, says, classes="field"))
        self.says = {f"option-{option.name}": option.says for option in options}
        await asked.mount(*fields)
        asked.styles.height = min(len(fields), max(4, self.app.size.height // 2))
        self.query_one("#head", PaintedText).show([[("  bench", "strong"), (f"   {SUMS[self.what].says}", "quiet")]])
        self._solve()

    def on_descendant_focus(self) -> None:
        """The whole sentence about the value under the cursor: beside it there is not always room."""
        words = self.says.get((self.focused.id or "") if self.focused is not None else "", "")
        self.query_one("#said", PaintedText).show([[(words, "accent")]])

    def on_input_changed(self) -> None:
        self._solve()

    def on_input_submitted(self) -> None:
        self.focus_next("#asked Input")

    def _solve(self) -> None:
        typed = {
            (field.id or "").removeprefix("option-"): field.value
            for field in self.query("#asked Input").results(Input)
            if field.value.strip()
        }
        result = self.query_one("#result", PaintedText)
        self.found = None
        try:
            found = self.found = solve(self.what, typed, self.settings)
        except (WrongOptions, Unreadable, OutOfRange) as why:
            sentence, role = str(why), "warn" if typed else "quiet"
            result.show(lambda width, _: [[], *wrapped(plain(sentence, 400), role, width, 5, indent="")])
            return
        result.show(lambda width, _: self._told(found, width))

    def _told(self, found: Sum, width: int) -> list[Line]:
        lines: list[Line] = [[]]
        for caution in cautions_of(found):  # first: a low window cuts what is at the bottom
            lines += [*wrapped(caution.text, "warn", width, 4, indent=""), []]
        for question in found.asks:
            lines += [*wrapped(question, "warn", width, 3, indent=""), []]
        for label, value in rows(found, self.settings.units):
            lines.append([(fit(label, 24), "quiet"), (value, "strong")])
        return lines

    def action_how(self) -> None:
        found, units = self.found, self.settings.units
        if found is None:
            return  # the sentence about what is missing stands there already
        steps = found.steps
        self.app.push_screen(TextPage(self.what, "how it is reckoned", lambda width: steps_lines(steps, units, width)))
