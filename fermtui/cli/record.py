"""`fermtui record VESSEL`: everything about one vessel, to print."""

from __future__ import annotations

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import file_of, folder_of, print_json, store_of, tell_problems, view_with_forecast
from fermtui.cli.show import vessel_json
from fermtui.reports.document import markdown_lines, text_lines
from fermtui.reports.page import record_page
from fermtui.reports.record import record, title_of


def run(call: Call) -> int:
    """Print the record as text or Markdown; a damaged vessel exits 1, after all that is good was shown."""
    if len(call.operands) != 1 or call.pairs:
        raise WrongUsage("record takes a vessel: `fermtui record damson --markdown`")
    store, now = store_of(call)
    name = folder_of(store, call.operands[0])
    vessel = view_with_forecast(store, name, now)
    file = file_of(store, name)
    if "json" in call.options:
        print_json(vessel_json(vessel, file, store.settings))
    elif "html" in call.options:
        print(record_page(vessel, file, store.settings, now))
    else:
        settings = store.settings
        ascii_only = "ascii" in call.options or settings.look.ascii
        sections = record(vessel, file, settings, now, ascii_only=ascii_only)
        page = markdown_lines if "markdown" in call.options else text_lines
        print("\n".join(page(title_of(vessel), sections)))
    tell_problems(vessel.problems)
    store.save()
    return 1 if vessel.problems else 0
