"""The schema of a job file for editors, with closed lists of what the catalogue knows; and as text.

The job file itself knows no catalogue: its schema takes any name. An editor should offer the right
ones, so they are put in here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, get_args

SCHEMA_FILE: Final = "girderply-job.schema.json"
TYPED: Final = ("nail", "bolt")  # a size that no table holds may be typed
SIZE: Final = "[0-9]"
LINE: Final = f"#:schema ./{SCHEMA_FILE}\n"


def job_schema() -> dict[str, Any]:
    """JSON Schema of a job file with the timbers, nails, bolts, washers and rule sets there are."""
    from girderply import catalogue, rules
    from girderply.jobfile import json_schema

    schema = json_schema()
    timbers = [*(t.key for t in catalogue.timbers()), *catalogue.timber_aliases()]
    nails = [n.key for n in catalogue.nails()]
    closed = {
        ("GirderTable", "timber"): timbers,
        ("FasteningTable", "nail"): nails,
        ("PrescribedTable", "nail"): nails,
        ("FasteningTable", "bolt"): [b.key for b in catalogue.bolts()],
        ("FasteningTable", "washer"): [w.key for w in catalogue.washers()],
        ("FasteningTable", "rules"): [*rules.rule_set_names()],
    }
    for (table, key), names in closed.items():
        _close(schema["$defs"][table]["properties"][key], names, typed=key in TYPED)
    return schema


def _close(entry: dict[str, Any], names: list[str], typed: bool) -> None:
    """Let a text be one of these names, or a size where sizes may be typed."""
    choice: dict[str, Any] = {"type": "string", "enum": list(dict.fromkeys(names))}
    if typed:
        choice = {"anyOf": [choice, {"type": "string", "pattern": SIZE}]}
    if "anyOf" in entry:
        entry["anyOf"] = [choice if o.get("type") == "string" else o for o in entry["anyOf"]]
    else:
        entry.update(choice)
        for limit in ("minLength", "maxLength", "pattern"):
            entry.pop(limit, None)


def job_schema_text() -> str:
    """Every key of a job file with its meaning, unit, default and an example, by table."""
    from girderply.jobfile.job_form import JobFile

    head = (
        "Every key of a job file. A quantity is text with its unit, or a number in the job's own\n"
        "units; a key without a default is needed.\n\n"
    )
    return head + "\n".join(_table(JobFile, "", False))


def _table(model: Any, path: str, many: bool) -> Iterator[str]:
    """A table with its keys, then the tables in it."""
    inner: list[tuple[Any, str, bool]] = []
    if path:
        heading = f"[[{path}]]" if many else f"[{path}]"
        yield f"{heading}  {(model.__doc__ or '').strip().partition(chr(10))[0]}"
    for key, entry in model.model_fields.items():
        sub, listed = _inner(entry.annotation)
        if sub is not None:
            inner.append((sub, f"{path}.{key}" if path else key, listed))
        elif path:
            yield from _key(key, entry)
    yield ""
    for sub, where, listed in inner:
        yield from _table(sub, where, listed)


def _inner(annotation: Any) -> tuple[Any, bool]:
    """The table that a key holds, and whether it holds many."""
    from girderply.jobfile.fields import Table

    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation, False
    for part in get_args(annotation):
        found, many = _inner(part)
        if found is not None:
            return found, many or getattr(annotation, "__origin__", None) is list
    return None, False


def _key(key: str, entry: Any) -> Iterator[str]:
    import textwrap

    needed = entry.is_required()
    default = (
        ""
        if needed or entry.default in (None, "", [], {})
        else f", default {_example(entry.default)}"
    )
    kind = _kind(entry)
    yield f"  {key}: {kind}{' (needed)' if needed else default}"
    words = " ".join((entry.description or "").split())
    if entry.examples:
        words += f" Example: {_example(entry.examples[0])}"
    yield from textwrap.wrap(words, 92, initial_indent="      ", subsequent_indent="      ")


def _example(value: Any) -> str:
    import json

    return json.dumps(value, ensure_ascii=False)


def _kind(entry: Any) -> str:
    """What a key holds in one word: a quantity by what it measures, a choice by its words."""
    parts = [*entry.metadata, *_parts(entry.annotation)]
    for part in parts:
        if hasattr(part, "dimension"):
            return str(part.dimension)
    words = [p for p in _parts(entry.annotation) if isinstance(p, str)]
    if words:
        return " | ".join(dict.fromkeys(words))
    if getattr(entry.annotation, "__origin__", None) is list:
        return "list"
    names = {bool: "true or false", int: "whole number", float: "number", str: "text"}
    found = [names[p] for p in [entry.annotation, *parts] if p in names] if parts else []
    plain = names.get(entry.annotation)
    return plain or (found[0] if found else "list")


def _parts(annotation: Any) -> list[Any]:
    """Everything inside an annotation, however deep."""
    out: list[Any] = []
    for part in get_args(annotation):
        out += [part, *_parts(part)]
    return out
