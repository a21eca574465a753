"""Forms made from the job file's own schema: which fields a table has, and what they allow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, Final

from girderply.units.parse import BARE_UNIT, Dimension
from girderply.wording import DEFAULT, ENGLISH, Voice
from girderply.wording.messages import area, field_help
from girderply.wording.sayings import Words, said
from girderply.wording.words import field_words

Plain = dict[str, Any]

# Names that a field may take from the catalogue; a file of one's own may hold others.
_KNOWN: Final = {
    ("job", "logo"): "pictures",
    ("girder", "timber"): "timber",
    ("fastening", "nail"): "nails",
    ("fastening", "bolt"): "bolts",
    ("fastening", "washer"): "washers",
    ("fastening", "rules"): "rules",
    ("loads[].bracket", "bolt"): "bolts",
    ("fastening.prescribed[]", "nail"): "nails",
}


@cache
def forms(voice: Voice) -> Plain:
    """Every table of a job file by its place ("girder.plates[]"), with its fields in order."""
    from girderply.jobfile import json_schema

    schema = json_schema()
    found: Plain = {}
    _walk(voice, schema, schema, "", found)
    return {"tables": found, "known": known_names(), "units": dict(BARE_UNIT)}


def kind_of(path: Sequence[str | int]) -> str:
    """What kind of field a path of the file leads to; empty for none."""
    return str(_field_at(path).get("kind", ""))


def dimension_of(path: Sequence[str | int]) -> Dimension | None:
    """What the field at a path measures, or one value of the list that it holds."""
    found = _field_at(path) or _field_at(path[:-1])
    dimension: Dimension | None = found.get("dimension")
    return dimension


def _field_at(path: Sequence[str | int]) -> Plain:
    place = ""
    for part in path[:-1]:
        place += "[]" if isinstance(part, int) else f".{part}" if place else part
    fields = forms(ENGLISH)["tables"].get(place, ())
    return next((f for f in fields if path and f["key"] == path[-1]), {})


def _walk(
    voice: Voice, schema: Mapping[str, Any], table: Mapping[str, Any], place: str, found: Plain
) -> None:
    needed = set(table.get("required", ()))
    fields = []
    for key, raw in table["properties"].items():
        inner = _inner(schema, raw)
        if inner is not None:
            entry, many = inner
            name = f"{place}.{key}" if place else key
            _walk(voice, schema, entry, name + ("[]" if many else ""), found)
        else:
            fields.append(_field(voice, place, key, raw, key in needed))
    found[place] = fields


def _inner(schema: Mapping[str, Any], raw: Mapping[str, Any]) -> tuple[Plain, bool] | None:
    """The table that a key holds, and whether it is a list of them; None for a value."""
    for option in (raw, *raw.get("anyOf", ())):
        if "$ref" in option:
            return schema["$defs"][option["$ref"].rpartition("/")[2]], False
        if "$ref" in option.get("items", {}):
            return schema["$defs"][option["items"]["$ref"].rpartition("/")[2]], True
    return None


def _field(voice: Voice, place: str, key: str, raw: Mapping[str, Any], needed: bool) -> Plain:
    options = [o for o in raw.get("anyOf", [raw]) if o.get("type") != "null"]
    merged: Plain = {}
    for option in options:
        merged |= option
    field = {
        "key": key,
        "label": field_words(place.replace("[]", "").replace(".", "_"), key),
        "help": field_help(voice.language).get(f"{place}.{key}", raw.get("description", "")),
        "kind": _kind(options, merged, raw),
        "needed": needed,
        "examples": raw.get("examples", [])[:3],
    }
    dimension = raw.get("x-dimension") or merged.get("x-dimension")
    dimension = dimension or merged.get("items", {}).get("x-dimension")
    extra = {
        "dimension": dimension,
        "choices": merged.get("enum"),
        "words": [choice_words(key, c) for c in merged.get("enum", ())],
        "known": _KNOWN.get((place, key)),
        "least": merged.get("minimum"),
        "most": merged.get("maximum"),
        "usual": raw.get("default"),
    }
    return field | {k: v for k, v in extra.items() if v not in (None, "", [], {})}


def _kind(options: list[Plain], merged: Plain, raw: Mapping[str, Any]) -> str:
    if raw.get("x-dimension") or merged.get("x-dimension") or len(options) > 1:
        return "quantity"
    if "x-dimension" in merged.get("items", {}):
        return "quantities"
    if "enum" in merged:
        return "choice"
    if merged.get("format") == "date":
        return "date"
    kinds = {"integer": "whole", "number": "number", "boolean": "yes", "array": "list",
             "object": "map"}  # fmt: skip
    return kinds.get(str(merged.get("type")), "text")


def choice_words(key: str, choice: str) -> Words:
    """A choice of a field as people say it; one that has no words is itself."""
    names = area(DEFAULT, "choice")
    found = next((n for n in (f"{key}_{choice}", choice) if n in names), "")
    return said(f"choice.{found}") if found else choice


@cache
def known_names() -> dict[str, list[str]]:
    """Names that the catalogue knows, by what they are of."""
    from girderply import catalogue
    from girderply.rules import rule_set_names

    return {
        "timber": [t.key for t in catalogue.timbers()],
        "nails": [n.key for n in catalogue.nails()],
        "bolts": [b.key for b in catalogue.bolts()],
        "washers": [w.key for w in catalogue.washers()],
        "rules": list(rule_set_names()),
    }
