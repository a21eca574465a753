"""Spoilt copies of job files: one or several of many kinds of damage, chosen by a seed.

Two levels: values in the tables of a job (so that the damage gets past the TOML reader), and the
bytes of the file itself. Mild damage (a length times 1.7, another word of the same list) keeps a
job readable and reaches the layout; wild damage (types, huge numbers, control characters) is for
the reader.
"""

from __future__ import annotations

import copy
import json
import random
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from typing import Any

Loc = tuple[str | int, ...]

WORDS = (
    *("howe", "pratt", "fink", "warren", "king post", "queen post", "parallel chord", "mono"),
    *("truncated", "front", "back", "nail", "bolt", "screw", "metric", "imperial", "C24", "C16"),
    *("top chord", "bottom chord", "web", "EN 1995-1-1", "NDS 2018", "common-practice"),
    *("french-36mm", "north-american-built-up", "permanent", "medium", "short", "left", "right"),
    *("BC1", "TC1", "TC2", "W1", "W2", "M12", "M20", "4.0 x 100", "3.1 x 90", "16d common"),
)
NASTY = (
    *("", " ", "\0", "\x1b[31mred\x1b[0m", "\u202eright to left", "a\u0301\u0301\u0301", "\ud7ff"),
    *("\ufeff", "\U0001f528", "<script>alert(1)</script>", "#panic()", "{{ 7 * 7 }}", "=1+1"),
    *("../../etc/passwd", "CON", "NaN", "nan mm", "inf m", "-0", "1e999 mm", "1/0 in", "6:0"),
    *("0x10 mm", "1_000 mm", "10 ft 3 in", "٣ mm", "1 kg", "1 mm^99", "m", "9" * 400, "x" * 10_000),
)
NUMBERS = (
    *(0, -1, 1, 2, 7, 10**6, -(10**6), 10**18, 10**400, -0.0, 1e-300, 1e300, 5e-324),
    *(float("nan"), float("inf"), float("-inf"), True, False),
)
DATES = (date(1, 1, 1), date(9999, 12, 31), datetime(2026, 1, 2, 3, 4), time(1, 2))


def toml(value: Any) -> str:
    """Any value as inline TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{toml(k)} = {toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    return repr(value)


def as_text(data: dict[str, Any]) -> str:
    """A whole job as text."""
    return "\n".join(f"{toml(key)} = {toml(value)}" for key, value in data.items())


def places(data: Any, loc: Loc = ()) -> Iterator[Loc]:
    """Every place in a job: keys and positions."""
    for key, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*loc, key)
        if isinstance(value, dict | list):
            yield from places(value, (*loc, key))


def _inside(data: Any, loc: Loc) -> Any:
    for part in loc:
        data = data[part]
    return data


def _value(rng: random.Random) -> Any:
    """Something that nobody expects."""
    kind = rng.randrange(6)
    if kind == 0:
        return rng.choice(NUMBERS)
    if kind == 1:
        return rng.choice(NASTY)
    if kind == 2:
        return rng.choice(WORDS)
    if kind == 3:
        return rng.choice(DATES)
    if kind == 4:
        return [_value(rng) for _ in range(rng.randrange(3))]
    return {rng.choice(("id", "x", "span", "kind", "\u00e9", "")): _value(rng)}


def _scaled(value: Any, rng: random.Random) -> Any:
    """A number, alone or before a unit, changed by a factor; other words for a word."""
    factor = rng.choice((0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 1.1, 1.4, 2.0, 3.0, 10.0, 100.0, -1.0, 0.0))
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return rng.choice((value + 1, value - 1, value * 2, 0, int(value * factor)))
    if isinstance(value, float):
        return value * factor
    if isinstance(value, str):
        number, _, unit = value.partition(" ")
        try:
            return f"{float(number) * factor:g} {unit}"
        except ValueError:
            return rng.choice(WORDS)
    return value


def _scale(data: Any, loc: Loc, rng: random.Random) -> None:
    _inside(data, loc[:-1])[loc[-1]] = _scaled(_inside(data, loc), rng)


def _delete(data: Any, loc: Loc, _: random.Random) -> None:
    del _inside(data, loc[:-1])[loc[-1]]


def _retype(data: Any, loc: Loc, rng: random.Random) -> None:
    _inside(data, loc[:-1])[loc[-1]] = _value(rng)


def _wrap(data: Any, loc: Loc, rng: random.Random) -> None:
    value = _inside(data, loc)
    for _ in range(rng.choice((1, 2, 15))):
        value = [value] if rng.random() < 0.5 else {"x": value}
    _inside(data, loc[:-1])[loc[-1]] = value


def _duplicate(data: Any, loc: Loc, rng: random.Random) -> None:
    home, value = _inside(data, loc[:-1]), copy.deepcopy(_inside(data, loc))
    if isinstance(home, list):
        home.insert(rng.randrange(len(home) + 1), value)
    else:
        home[f"{loc[-1]}{rng.choice(('2', '_', ' ', '.x'))}"] = value


def _swap(data: Any, loc: Loc, rng: random.Random) -> None:
    other = rng.choice([p for p in places(data) if p[: len(loc)] != loc != loc[: len(p)]] or [loc])
    if other == loc[: len(other)]:
        return
    a, b = copy.deepcopy(_inside(data, loc)), copy.deepcopy(_inside(data, other))
    _inside(data, loc[:-1])[loc[-1]] = b
    _inside(data, other[:-1])[other[-1]] = a


def _add(data: Any, loc: Loc, rng: random.Random) -> None:
    home = _inside(data, loc[:-1])
    if isinstance(home, dict):
        home[rng.choice(("every", "to", "plies_reached", "heel_height", "x", "notes", "a b"))] = (
            _value(rng)
        )


Change = Callable[[Any, Loc, random.Random], None]
MILD: tuple[Change, ...] = (_scale, _scale, _scale, _scale, _delete, _duplicate, _swap)
WILD: tuple[Change, ...] = (_retype, _wrap, _add, _delete, _duplicate, _swap, _scale)


def spoilt_values(text: str, rng: random.Random, tried: Counter[str] | None = None) -> str:
    """A job with one to four of its values changed, still TOML; `tried` counts the changes."""
    data = tomllib.loads(text)
    changes = MILD if rng.random() < 0.75 else WILD
    for _ in range(rng.choice((1, 1, 1, 2, 2, 3, 4))):
        known = list(places(data))
        if known:
            change, loc = rng.choice(changes), rng.choice(known)
            change(data, loc, rng)
            if tried is not None:
                where = next((part for part in reversed(loc) if isinstance(part, str)), "job")
                tried[f"{change.__name__.strip('_')} a value"] += 1
                tried[f"key {where}"] += 1
    return as_text(data)


def spoilt_bytes(text: str, rng: random.Random) -> bytes:
    """The bytes of a job with a piece lost, doubled, moved or written over."""
    raw = bytearray(text.encode())
    for _ in range(rng.randrange(1, 4)):
        start = rng.randrange(len(raw) + 1)
        end = min(len(raw), start + rng.choice((1, 1, 2, 8, 60)))
        piece = bytes(raw[start:end])
        junk = (b"", piece * 2, bytes(rng.randbytes(4)), rng.choice(NASTY).encode(), b"[[", b'"""')
        raw[start:end] = rng.choice(junk)
    if rng.random() < 0.1:
        raw = bytearray(bytes(raw).replace(b"\n", b"\r\n"))
    return bytes(raw)


def monsters() -> dict[str, bytes]:
    """Files of a kind that chance does not make."""
    deep = 3000
    return {
        "empty": b"",
        "ten megabytes of comment": b"#" * 10_000_000,
        "four megabytes of keys": b"".join(b"k%d = 1\n" % i for i in range(400_000))[:4_900_000],
        "one key of four megabytes": b'a = "' + b"x" * 4_000_000 + b'"',
        "lists in lists": b"a = " + b"[" * deep + b"]" * deep,
        "tables in tables": b"a = " + b"{a = " * deep + b"1" + b"}" * deep,
        "dotted key": b".".join([b"a"] * 20_000) + b" = 1",
        "header of dots": b"[" + b".".join([b"a"] * 20_000) + b"]",
        "a hundred thousand loads": b"[[loads]]\n" * 100_000,
        "utf-16": "[job]\nnumber = 1\n".encode("utf-16"),
        "zeros": bytes(4096),
        "number of many digits": b"a = " + b"9" * 5000,
        "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 10,
    }
