"""What pydantic found, in words for the person who wrote the file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from inspect import isclass
from typing import Any, Final, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from girderply.errors import Finding
from girderply.jobfile.fields import Table
from girderply.jobfile.job_form import JobFile
from girderply.jobfile.paths import Loc, error, key_path
from girderply.units.short_text import did_you_mean, one_of, reason, shown

_WANTED: Final[dict[str, str]] = {
    "string_type": "text in quotes is needed",
    "string_unicode": "text of whole characters is needed",
    "int_type": "a whole number without quotes is needed",
    "float_type": "a number without quotes is needed",
    "bool_type": "true or false, without quotes, is needed",
    "list_type": "a list in square brackets is needed",
    "dict_type": "a table is needed",
    "model_type": "a table is needed",
    "finite_number": "a finite number is needed",
    "int_parsing_size": "a smaller number is needed",
}
_LIMIT: Final[dict[str, tuple[str, str]]] = {
    "greater_than": ("gt", "must be more than {}"),
    "greater_than_equal": ("ge", "must be at least {}"),
    "less_than": ("lt", "must be less than {}"),
    "less_than_equal": ("le", "must be at most {}"),
    "string_too_long": ("max_length", "is too long; at most {} characters are allowed"),
    "too_long": ("max_length", "has too many entries; at most {} are allowed"),
    "too_short": ("min_length", "has too few entries; at least {} are needed"),
}


def from_pydantic(raised: ValidationError, most: int = 200) -> list[Finding]:
    """Turn each error of pydantic into a finding with key path, value and what is allowed.

    Args:
        raised: by the schema.
        most: how many are put in words; nobody reads the rest, which is only counted.
    """
    errors = raised.errors(include_url=False)
    rest = [error("bad-value", e["loc"], reason(e["msg"])) for e in errors[most:]]
    return [_finding(e) for e in errors[:most]] + rest


def _finding(e: ErrorDetails) -> Finding:
    loc: Loc = e["loc"]
    kind = e["type"]
    if kind == "extra_forbidden":
        return _unknown_key(loc)
    if kind == "missing":
        return error("missing-key", loc, f'"{loc[-1]}" is missing: {_description(loc)}')
    if kind == "literal_error":
        return _unknown_choice(loc, e)
    if loc and loc[-1] == "[key]":
        return error("bad-key", loc[:-1], _message(e))
    return error("bad-value", loc, _message(e))


def _message(e: ErrorDetails) -> str:
    kind, value, context = e["type"], e["input"], e.get("ctx", {})
    if kind == "value_error":
        return str(context["error"])
    if kind in _LIMIT:
        name, words = _LIMIT[kind]
        return f"{shown(value)} {words.format(context[name])}"
    return f"{shown(value)} is not allowed here; " + _WANTED.get(kind, e["msg"])


def _unknown_choice(loc: Loc, e: ErrorDetails) -> Finding:
    choices = re.findall(r"'([^']*)'", str(e.get("ctx", {}).get("expected", "")))
    value = e["input"]
    message = f"{shown(value)} is not one of {one_of(choices)}"
    return error("unknown-choice", loc, message, did_you_mean(value, choices))


def _unknown_key(loc: Loc) -> Finding:
    key = str(loc[-1])
    model = _model_at(loc[:-1])
    known = list(model.model_fields) if model else []
    tip = did_you_mean(key, known)
    homes = [where for where, name in _known_keys() if name == key]
    if not tip and homes:
        tip = f"does it belong in [{homes[0]}]?" if homes[0] else "it stands at the top level"
    table = key_path(loc[:-1])
    where = f"[{table}]" if table else "a job file"
    message = f"{where} has no key {shown(key)}; its keys are: {', '.join(known)}"
    return error("unknown-key", loc, message, tip)


@cache
def _known_keys() -> tuple[tuple[str, str], ...]:
    return tuple(_all_keys(JobFile))


def _all_keys(model: type[Table], path: str = "") -> Iterator[tuple[str, str]]:
    for name, field in model.model_fields.items():
        yield path, name
        inner = _table_in(field.annotation)
        if inner:
            yield from _all_keys(inner, f"{path}.{name}" if path else name)


def _model_at(loc: Loc) -> type[Table] | None:
    model: type[Table] | None = JobFile
    for part in loc:
        if isinstance(part, str) and model is not None:
            field = model.model_fields.get(part)
            model = _table_in(field.annotation) if field else None
    return model


def _table_in(annotation: Any) -> type[Table] | None:
    """The table inside `list[...]` or `... | None`."""
    if isclass(annotation) and issubclass(annotation, Table):
        return annotation
    return next((t for t in map(_table_in, get_args(annotation)) if t), None)


def _description(loc: Loc) -> str:
    model = _model_at(loc[:-1])
    field = model.model_fields.get(str(loc[-1])) if model else None
    if not field:
        return "it is needed"
    text = field.description or "it is needed"
    example = f" Such as: {loc[-1]} = {_toml(field.examples[0])}" if field.examples else ""
    return text[0].lower() + text[1:] + example


def _toml(value: object) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value).replace("'", '"')
