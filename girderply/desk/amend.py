"""Changes of single values in the text of a job file; comments and order stay as they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from girderply.errors import GirderplyError

if TYPE_CHECKING:
    from tomlkit.toml_document import TOMLDocument

Path = tuple[str | int, ...]


class AmendError(GirderplyError, ValueError):
    """A change that cannot be made in this file."""


@dataclass(frozen=True, slots=True)
class Edit:
    """One change.

    Attributes:
        path: keys and places from the top of the file.
        do: "set" a value, "drop" what is there, or "add" an entry at the end of a list.
        value: numbers, texts, true or false, lists and tables of these.
    """

    path: Path
    do: str
    value: Any = None


def amended(text: str, edits: Sequence[Edit]) -> str:
    """The text with these changes made one after the other.

    Raises:
        AmendError: the text is not TOML, or a path leads nowhere.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    mark = "\ufeff" if text.startswith("\ufeff") else ""
    try:
        document = tomlkit.parse(text.removeprefix(mark))
        for edit in edits:
            _make(document, edit)
        return mark + tomlkit.dumps(document)
    except (TOMLKitError, RecursionError) as fault:
        raise AmendError(f"the file cannot be changed by its fields: {fault}") from fault


def _make(document: TOMLDocument, edit: Edit) -> None:
    if not edit.path:
        raise AmendError("a change needs a place")
    if edit.do == "drop":
        _drop(document, edit.path)
    elif edit.do == "add":
        _add(document, edit.path, edit.value)
    elif edit.do == "set":
        _put(document, edit.path, edit.value)
    else:
        raise AmendError(f"{edit.do!r} is no change")


def _reached(document: Any, path: Path) -> tuple[Any, Path]:
    """The last table or list on the way that is there, and the rest of the way."""
    here = document
    for n, part in enumerate(path):
        inner = _at(here, part)
        if inner is None:
            if not all(isinstance(p, str) for p in path[n:]) or not hasattr(here, "keys"):
                raise AmendError(f"there is no place {part!r} in the file")
            return here, path[n:]
        here = inner
    return here, ()


def _nested(rest: Path, value: Any) -> Any:
    """A value inside the tables that are missing on the way to it."""
    for part in reversed(rest):
        value = {part: value}
    return value


def _put(document: Any, path: Path, value: Any) -> None:
    table, rest = _reached(document, path[:-1])
    if rest:
        _refuse_number(path[-1])
        _spaced(table, document)
        _set(table, rest[0], _nested((*rest[1:], path[-1]), value))
    else:
        if isinstance(value, dict):
            _spaced(table, document)
        _set(table, path[-1], value)


def _refuse_number(key: str | int) -> None:
    if isinstance(key, int):
        raise AmendError(f"there is no entry {key + 1}")


def _set(table: Any, key: str | int, value: Any) -> None:
    old = _at(table, key)
    if isinstance(key, int) and old is None:
        raise AmendError(f"there is no entry {key + 1}")
    if not (hasattr(table, "keys") or isinstance(key, int)):
        raise AmendError(f"there is no table for {key!r}")
    if isinstance(value, dict):
        table[key] = _inline_table(value) if _inline(table) else _new_table(value)
    else:
        table[key] = _value(value, old)


def _value(value: Any, old: Any) -> Any:
    """A date stays a date where the new text is one."""
    if isinstance(old, date) and isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            return value
    return value


def _drop(document: Any, path: Path) -> None:
    table, rest = _reached(document, path[:-1])
    key = path[-1]
    if rest or _at(table, key) is None:
        return
    del table[key]
    if not len(table) and isinstance(key, int):  # a list of tables that is empty is none
        _drop(document, path[:-1])


def _add(document: Any, path: Path, value: Any) -> None:
    import tomlkit

    table, rest = _reached(document, path[:-1])
    key = path[-1]
    found = None if rest else _at(table, key)
    if found is None:
        _refuse_number(key)
        _spaced(table, document)
        if rest:
            _set(table, rest[0], _nested(rest[1:], {key: [value]}))
        elif isinstance(value, dict) and not _inline(table):
            entries = tomlkit.aot()
            entries.append(_new_table(value))
            table[key] = entries
        else:
            table[key] = [value]
        return
    if not isinstance(found, list):
        raise AmendError(f"{key!r} is no list")
    plain = isinstance(found, tomlkit.items.Array)
    found.append(_inline_table(value) if plain and isinstance(value, dict) else
                 _new_table(value) if isinstance(value, dict) else value)  # fmt: skip


def _at(table: Any, key: str | int) -> Any:
    try:
        return table[key]
    except (KeyError, IndexError, TypeError):
        return None


def _inline(table: Any) -> bool:
    import tomlkit

    return isinstance(table, tomlkit.items.InlineTable | tomlkit.items.Array)


def _inline_table(value: dict[str, Any]) -> Any:
    import tomlkit

    table = tomlkit.inline_table()
    table.update(value)
    return table


def _new_table(value: dict[str, Any]) -> Any:
    """A table that ends in an empty line, as the tables of a file do."""
    import tomlkit

    table = tomlkit.table()
    inner = {k: v for k, v in value.items() if isinstance(v, dict)}
    for key, each in value.items():
        if key not in inner:
            table[key] = each
    if not inner:
        table.add(tomlkit.nl())
    else:
        table.add(tomlkit.nl())
        for key, each in inner.items():
            table[key] = _new_table(each)
    return table


def _spaced(here: Any, document: Any) -> None:
    """See that the text before a new table at the end of the file ends in an empty line."""
    import tomlkit

    if here is not document and not hasattr(here, "add"):
        return
    text = tomlkit.dumps(document)
    if here is document and text and not text.endswith("\n\n"):
        document.add(tomlkit.nl())
