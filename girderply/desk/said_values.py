"""What was typed into a field, as it goes into a file; and that it is no longer assumed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from girderply.desk.amend import Edit
from girderply.desk.amounts import bare, pointed
from girderply.desk.forms import kind_of

ASSUMED: Final = ("job", "assumed")


def as_written(edit: Edit) -> Edit:
    """A change with a decimal comma of a quantity or number made a point."""
    if edit.do != "set" or not isinstance(edit.value, str):
        return edit
    if kind_of(edit.path) not in ("quantity", "number", "whole"):
        return edit
    return replace(edit, value=bare(pointed(edit.value)))


def no_longer_assumed(data: Mapping[str, Any], edits: Sequence[Edit]) -> list[Edit]:
    """The change of the job's list of assumed values that follows from what was typed.

    A value that somebody typed is not assumed any more, nor is one that was taken away with its
    load; one inside a list of tables that is assumed as a whole says nothing of the others. A load
    that gets another name keeps its open values under that name.

    Args:
        data: of the file before the changes.
        edits: the changes.
    """
    before = _listed(data)
    after = before
    if any(e.path == ASSUMED for e in edits):
        return []
    for edit in edits:
        after = [k for k in (_kept(key, edit, data) for key in after) if k]
    if after == before:
        return []
    return [Edit(ASSUMED, "set", after)] if after else [Edit(ASSUMED, "drop")]


def _listed(data: Mapping[str, Any]) -> list[str]:
    job = data.get("job")
    found = job.get("assumed") if isinstance(job, Mapping) else None
    return [str(k) for k in found] if isinstance(found, list) else []


def _kept(key: str, edit: Edit, data: Mapping[str, Any]) -> str:
    """The key after a change; empty where it is struck."""
    name = _name(data, edit.path)
    if name and edit.path[2:] == ("id",) and edit.do == "set":
        inside = key.startswith(f"loads.{name}.")
        return f"loads.{edit.value}.{key.removeprefix(f'loads.{name}.')}" if inside else key
    here = ".".join(["loads", name, *map(str, edit.path[2:])] if name else map(str, edit.path))
    gone = edit.do == "drop" and key.startswith(f"{here}.")
    return "" if key == here or gone else key


def _name(data: Mapping[str, Any], path: Sequence[str | int]) -> str:
    """What the load is called that a path leads into; empty where it leads elsewhere."""
    if len(path) < 2 or path[0] != "loads" or not isinstance(path[1], int):
        return ""
    return dict(names_of_loads(data)).get(path[1], "")


def names_of_loads(data: Mapping[str, Any]) -> Iterator[tuple[int, str]]:
    """Each entry of the loads by its place and name."""
    loads = data.get("loads")
    for n, load in enumerate(loads if isinstance(loads, list) else []):
        if isinstance(load, Mapping):
            yield n, str(load.get("id", f"L{n + 1}"))


def examples(data: Mapping[str, Any]) -> list[int]:
    """Entries of the loads whose forces nobody has given, by their place."""
    open_ones = set(_listed(data))
    return [
        n
        for n, name in names_of_loads(data)
        if {f"loads.{name}.permanent", f"loads.{name}.variable"} & open_ones
    ]
