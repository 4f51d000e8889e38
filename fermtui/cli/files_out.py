"""Where a report goes: into the file that was named, or to standard output, byte for byte."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from fermtui.daybook.files import NotWritten, why_not


def put_out(data: bytes, path: str | None) -> Path | None:
    """Write the bytes; the path where one was given. An older file is replaced in one rename. Raises NotWritten."""
    if path is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return None
    target = Path(path).expanduser()
    made = target.with_name(f".{target.name}.{os.urandom(4).hex()}")
    try:
        if target.is_dir():
            raise NotWritten(f"{target} is a folder: name a file in it")
        if target.exists() and not target.is_file():
            target.write_bytes(data)  # a pipe or a terminal is written, not replaced
            return target
        made.write_bytes(data)
        made.replace(target)
    except NotWritten:
        raise
    except OSError as fault:
        made.unlink(missing_ok=True)
        raise NotWritten(f"{target} was not written: {why_not(fault)}") from fault
    return target
