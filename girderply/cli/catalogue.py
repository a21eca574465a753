"""girderply catalogue."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict
from enum import StrEnum
from typing import Annotated, Any

import typer

from girderply.cli.talk import product


class What(StrEnum):
    """What a catalogue can list."""

    NAILS = "nails"
    BOLTS = "bolts"
    WASHERS = "washers"
    TIMBER = "timber"
    RULES = "rules"


class Form(StrEnum):
    """How a catalogue is written."""

    TABLE = "table"
    JSON = "json"


def catalogue(
    what: Annotated[What | None, typer.Argument(help="What to list. Default: everything.")] = None,
    form: Annotated[
        Form, typer.Option("--format", help="table to read, json for programs.")
    ] = Form.TABLE,
) -> None:
    """List the nails, bolts, washers, timbers and rule sets that a job can name, with sources.

    Sizes are in mm whatever the job's units. Example: girderply catalogue nails
    """
    lists = {w: list(_LISTS[w]()) for w in ([what] if what else What)}
    if form is Form.JSON:
        product(_as_json({str(w): items for w, items in lists.items()}))
        return
    terminal = sys.stdout.isatty()
    product("\n".join(_as_table(w, items, terminal=terminal) for w, items in lists.items()))


def _nails() -> Iterable[Any]:
    from girderply.catalogue import nails

    return _values(nails())


def _bolts() -> Iterable[Any]:
    from girderply.catalogue import bolts

    return _values(bolts())


def _washers() -> Iterable[Any]:
    from girderply.catalogue import washers

    return _values(washers())


def _timbers() -> Iterable[Any]:
    from girderply.catalogue import timbers

    return _values(timbers())


def _rules() -> Iterable[Any]:
    from girderply.rules import load_rule_set, rule_set_names

    return [load_rule_set(name) for name in rule_set_names()]


def _values(known: Mapping[str, Any] | Iterable[Any]) -> Iterable[Any]:
    return known.values() if isinstance(known, Mapping) else known


_LISTS: dict[What, Callable[[], Iterable[Any]]] = {
    What.NAILS: _nails,
    What.BOLTS: _bolts,
    What.WASHERS: _washers,
    What.TIMBER: _timbers,
    What.RULES: _rules,
}

_COLUMNS: dict[What, tuple[tuple[str, str], ...]] = {
    What.NAILS: (
        *(("key", "nail"), ("d", "d mm"), ("length", "length mm"), ("head", "head mm")),
        *(("surface", "surface"), ("fu", "fu N/mm2"), ("source", "source"), ("mark", "how sure")),
    ),
    What.BOLTS: (
        *(("key", "bolt"), ("d", "d mm"), ("hole", "hole mm"), ("lengths", "lengths mm")),
        *(("source", "source"), ("mark", "how sure")),
    ),
    What.WASHERS: (
        *(("key", "washer"), ("bolt", "for"), ("shape", "shape"), ("outer", "outer mm")),
        *(("hole", "hole mm"), ("thickness", "thickness mm"), ("source", "source")),
        ("mark", "how sure"),
    ),
    What.TIMBER: (
        *(("key", "timber"), ("rho_k", "rho_k kg/m3"), ("rho_mean", "rho_mean kg/m3")),
        *(("G", "G"), ("E_mean", "E_mean N/mm2"), ("source", "source"), ("mark", "how sure")),
    ),
    What.RULES: (
        *(("name", "rule set"), ("title", "title"), ("plies", "plies")),
        *(("thickness", "ply mm"), ("source", "source"), ("mark", "how sure")),
    ),
}


def _as_table(what: What, items: list[Any], *, terminal: bool) -> str:
    from girderply.cli.terminal_tables import Column, table_text

    columns = [
        Column(head, right=head.endswith(("mm", "m3", "mm2", "G"))) for _, head in _COLUMNS[what]
    ]
    rows = ([_cell(getattr(item, name)) for name, _ in _COLUMNS[what]] for item in items)
    return table_text(what.capitalize(), columns, rows, terminal=terminal)


def _cell(value: Any) -> str:
    if value is None:
        return "-"
    if isinstance(value, float):
        return f"{round(value, 2):g}"
    if isinstance(value, tuple):
        ends = (value[0], value[-1]) if len(value) > 1 else value
        return " to ".join(_cell(v) for v in ends)
    return str(value)


def _as_json(lists: Mapping[str, list[Any]]) -> str:
    import json

    from girderply.schedule.contract import tidy

    plain = {w: [asdict(i) for i in items] for w, items in lists.items()}
    return json.dumps(tidy(plain), indent=2, ensure_ascii=False) + "\n"
