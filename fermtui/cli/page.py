"""`fermtui page`: a read-only site of the cellar, for a phone, paper or a screen reader."""

from __future__ import annotations

import sys

from fermtui.cli.args import Call, WrongUsage
from fermtui.cli.cellar import tell_problems, whole_view
from fermtui.daybook.files import expanded
from fermtui.reports.site import write_site
from fermtui.wording.plain import plain
from fermtui.writing.refused import Refused


def run(call: Call) -> int:
    """Write the pages into --out, or into the folder of cellar.toml; problems on stderr, exit 0 all the same."""
    if call.operands or call.pairs:
        raise WrongUsage("page takes no operands: `fermtui page --out ~/Sync/mead`")
    if "json" in call.options:
        raise WrongUsage("page writes HTML only: `fermtui show --json` has the same for scripts")
    store, view = whole_view(call)
    given = call.options.get("out") or store.settings.page.out
    if not given:
        known = 'or out = ".." under [page] in cellar.toml'
        raise WrongUsage(f"page needs a folder: `fermtui page --out ~/Sync/mead`, {known}")
    folder = expanded(given)
    if folder.exists() and not folder.is_dir():
        raise Refused(f"{folder} is no folder: name a folder for the pages in --out")
    count = write_site(store, view, folder)
    print(f"{count} page{'' if count == 1 else 's'} in {plain(folder, 400)}", file=sys.stderr)
    tell_problems(view.all_problems)
    store.save()
    return 0
