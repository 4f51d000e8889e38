"""One line of a daybook: `key = { name = value, ... }` with plain values, and nothing else.

The shape is checked by one linear pattern before anything else sees the line. A whole-file parse would be no faster
and is less safe: it takes a header or a dotted key for an entry, hides every later entry under a stray `[table]`, has
no line numbers, and a dotted key of 20 kB costs it more than a second.
"""

from __future__ import annotations

import re
from datetime import datetime
from decimal import Decimal
from typing import Any

from fermtui.daybook.fields import KEY, Unfit
from fermtui.daybook.toml_file import Malformed, parse_toml

_BASIC = r'"(?:[^"\\\x00-\x08\x0a-\x1f\x7f]|\\.)*+"'
_LITERAL = r"'[^'\x00-\x08\x0a-\x1f\x7f]*+'"
_PLAIN = r"[A-Za-z0-9+:._-]++(?: [0-9:.+Zz-]++)?"
_NAME = rf"(?:[A-Za-z0-9_-]++|{_BASIC}|{_LITERAL})"
_VALUE = rf"(?:{_BASIC}|{_LITERAL}|{_PLAIN})"
_PAIR = rf"[ \t]*+{_NAME}[ \t]*+=[ \t]*+{_VALUE}[ \t]*+"
_SHAPE = re.compile(
    rf"[ \t]*+([A-Za-z0-9_-]++)[ \t]*+=[ \t]*+\{{((?:{_PAIR}(?:,{_PAIR})*+)?)[ \t]*+\}}"
    r"[ \t]*+(?:#[^\x00-\x08\x0a-\x1f\x7f]*+)?"
)
_PAIRS = re.compile(rf"({_NAME})[ \t]*+=[ \t]*+({_VALUE})")
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,17})(\.[0-9]+)?")
_INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:Z|[+-][0-9]{2}:[0-9]{2})")
_EXAMPLE = 'one line is one entry, as in 20260318T181500123-k3f9x2 = { at = ..., did = "read", sg = 1.048 }'


def parse_line(raw: bytes) -> tuple[str, dict[str, Any]]:
    """The key and the values of one line without its line end; numbers with a point as Decimal.

    Raises Unfit with one sentence when the line is no entry. The caller keeps lines short.
    """
    try:
        line = raw.decode("utf-8")
    except UnicodeDecodeError as fault:
        raise Unfit(f"byte {fault.start + 1} of the line is no UTF-8 text; save the file as UTF-8") from None
    shape = _SHAPE.fullmatch(line)
    if shape is None:
        raise Unfit(_what_is_wrong(line))
    key, body = shape.groups()
    if not KEY.match(key):
        raise Unfit("the key has more than 80 characters")
    pairs = _PAIRS.findall(body)
    values: dict[str, Any] = {}
    for name, value in pairs:
        plain = _plain(value)
        if plain is None or name[0] in "\"'":
            return key, _by_tomllib(line)
        values[name] = plain
    return key, values if len(values) == len(pairs) else _by_tomllib(line)


def _plain(value: str) -> object:
    """The value when it is written as this program writes it, None when tomllib has to look."""
    first = value[0]
    if first == '"':
        return value[1:-1] if "\\" not in value else None
    if first in "-0123456789":
        number = _NUMBER.fullmatch(value)
        if number:
            return Decimal(value) if number[1] else int(value)
        if _INSTANT.fullmatch(value):
            try:
                return datetime.fromisoformat(value)
            except ValueError:
                return None
    if value in ("true", "false"):
        return value == "true"
    return None


def _by_tomllib(line: str) -> dict[str, Any]:
    values: dict[str, Any]
    try:
        (values,) = parse_toml(line.encode()).values()
    except Malformed as fault:
        raise Unfit(str(fault)) from None
    return values


def _what_is_wrong(line: str) -> str:
    text = line.strip(" \t")
    if "\0" in text:
        return "the line holds zero bytes, as after a crash or a power cut; remove it"
    if "\r" in text:
        return "a carriage return stands inside the line; lines end with a line feed"
    if text.startswith("["):
        return f"a daybook holds no [headers]; {_EXAMPLE}"
    if re.match(r"[A-Za-z0-9_-]+[ \t]*=[ \t]*\{", text):
        if not text.endswith("}") and "#" not in text:
            return "the line does not end with }: it is torn, or something was put behind it"
        return "between the braces stand only name = value, with text in quotes, and commas between them"
    return f"this is no entry; {_EXAMPLE}"
