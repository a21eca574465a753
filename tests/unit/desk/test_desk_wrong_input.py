"""Wrong input in every field of the form: said at that field, and nothing is lost."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import every_key
import pytest

from girderply.desk.amend import Edit, amended
from girderply.desk.decided import Decided, decide
from girderply.desk.folder import Folder
from girderply.desk.forms import forms
from girderply.desk.on_desk import OnDesk
from girderply.desk.overview import started
from girderply.desk.said_values import as_written
from girderply.desk.state import decided_state
from girderply.desk.where import place_of
from girderply.wording import ENGLISH, Voice

TABLES = forms(ENGLISH)["tables"]
PLACES = sorted(p for p in TABLES if p)
NASTY = "'\"</script>\u2603\\"
WRONG: dict[str, tuple[Any, ...]] = {
    "quantity": (NASTY, "", "-3 furlongs", "1e400 mm", "12,000 mm", "12 kg/s", [1]),
    "number": ("many", "", "1e400", NASTY),
    "whole": ("many", "1.5", "-3", "99999999999", ""),
    "choice": (NASTY, "", 7),
    "date": ("tomorrow", "2026-02-30", NASTY),
    "yes": ("maybe", 1),
    "text": ("x" * 100_000, 7),
    "list": (NASTY, [1, {}]),
    "map": (NASTY, {"": ""}),
    "quantities": (NASTY, ["\u2603"], [-1, "1e400 mm"]),
}
"""Per kind of field: text for a number, another unit, huge, empty, signs of other languages."""
ADDED = {"loads[].bracket.bolts[]": {"x": 0, "y": 0}}  # no sample job of the keys has one


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    return every_key.texts()


def instance(place: str, texts: dict[str, str]) -> tuple[str, tuple[str | int, ...]]:
    """A job that has such a table, and the path of its first entry."""
    for text in texts.values():
        here: Any = tomllib.loads(text)
        path: list[str | int] = []
        for part in place.split("."):
            key = part.removesuffix("[]")
            here = here.get(key) if isinstance(here, dict) else None
            path.append(key)
            if part.endswith("[]") and here:
                here = here[0]
                path.append(0)
        if here is not None:
            return text, tuple(path)
    return made(place, texts)


def made(place: str, texts: dict[str, str]) -> tuple[str, tuple[str | int, ...]]:
    """The same where no job has one: the table is added to one that has the table around it."""
    if place.endswith("[]"):
        around, _, key = place.removesuffix("[]").rpartition(".")
        text, path = instance(around, texts)
        edit = Edit((*path, key), "add", dict(ADDED[place]))
        return amended(text, [edit]), (*path, key, 0)
    return next(iter(texts.values())), tuple(place.split("."))


def tried(place: str, texts: dict[str, str]) -> Iterator[tuple[Edit, Decided]]:
    """Every wrong value in every field of a table, and what is decided of the file then."""
    text, path = instance(place, texts)
    for field in TABLES[place]:
        for value in WRONG[field["kind"]]:
            edit = Edit((*path, field["key"]), "set", value)
            yield edit, decide(amended(text, [as_written(edit)]), Path("/nowhere"))


@pytest.mark.parametrize("place", PLACES)
def test_what_is_wrong_is_said_at_its_field(place, texts):
    """Where the page shows it: at the field itself, or at a part of the list that it holds."""
    count = 0
    for edit, decided in tried(place, texts):
        count += 1
        at = [
            tuple(place_of(ENGLISH, f, decided)["path"])
            for f in decided.findings
            if f.severity == "error"
        ]
        here = [p for p in at if p[: len(edit.path)] == edit.path]
        assert here, f"{edit.path} = {edit.value!r:.40}: {at}"
        assert decided.schedule is None
    assert count >= 2 * len(TABLES[place])


def test_a_field_that_is_needed_and_left_empty_is_named(texts):
    for place in PLACES:
        text, path = instance(place, texts)
        for field in (f for f in TABLES[place] if f["needed"]):
            decided = decide(amended(text, [Edit((*path, field["key"]), "drop")]), Path("/nowhere"))
            at = [tuple(place_of(ENGLISH, f, decided)["path"]) for f in decided.findings]
            assert (*path, field["key"]) in at or path[:-1] in [p[: len(path) - 1] for p in at], at
            assert decided.schedule is None


def test_text_is_kept_letter_by_letter_and_the_file_is_always_whole(tmp_path, texts):
    """A field of each kind in every third table: file, memory and value agree; and taken back."""
    places = PLACES[::3]
    for n, place in enumerate(places):
        text, path = instance(place, texts)
        (tmp_path / f"{n}.toml").write_text(text, "utf-8")
        folder = Folder.at(tmp_path)
        girder = OnDesk(folder, f"{n}.toml", folder.read(f"{n}.toml"))
        for field in {f["kind"]: f for f in TABLES[place]}.values():
            where = (*path, field["key"])
            girder.amend([Edit(where, "set", NASTY)])
            assert folder.read(girder.name) == girder.text
            here: Any = tomllib.loads(girder.text)
            for part in where:
                here = here[part]
            assert here == NASTY
            assert girder.back()
            assert folder.read(girder.name) == text
    assert sorted(p.suffix for p in tmp_path.iterdir()) == [".toml"] * len(places)


@pytest.mark.parametrize("value", ["-3 mm", "0 mm", "1e9 m", "1e300 mm"])
def test_a_size_that_no_girder_has_is_a_finding_with_a_place_or_a_girder(value, texts):
    """Never a fault without words: whatever length stands in a field of the shape or its loads."""
    for place in (
        "girder.shape",
        "girder.sections",
        "loads[]",
        "loads[].bracket",
        "girder.plates[]",
    ):
        text, path = instance(place, texts)
        for field in (f for f in TABLES[place] if f.get("dimension") == "length"):
            edit = Edit((*path, field["key"]), "set", value)
            decided = decide(amended(text, [edit]), Path("/nowhere"))
            assert decided.schedule is not None or decided.findings
            assert all(f.message for f in decided.findings)


def test_a_wrong_quantity_is_said_in_the_language_of_the_page(texts):
    """Every field that measures something, typed wrongly: no English on a French page."""
    for place in PLACES:
        text, path = instance(place, texts)
        for field in (f for f in TABLES[place] if f.get("dimension")):
            many = field["kind"] == "quantities"
            edit = Edit((*path, field["key"]), "set", ["7 furlongs"] if many else "7 furlongs")
            decided = decide(amended(text, [edit]), Path("/nowhere"))
            voice = Voice("fr")
            told = [f["message"] for f in decided_state(voice, decided)["findings"]]
            assert any("«\u00a07 furlongs\u00a0» n’est pas un" in m for m in told), (
                edit.path,
                told,
            )
            assert not any("write a" in m for m in told), told
            english = [f["message"] for f in decided_state(ENGLISH, decided)["findings"]]
            assert any("unknown unit" in m for m in english)


def test_a_new_girder_with_a_wrong_span_is_refused_in_french(tmp_path):
    wish = {"kind": "howe", "span": "12,000 mm", "units": "metric"}
    voice = Voice("fr")
    said = started(voice, Folder.at(tmp_path), wish)["findings"][0]["message"]
    assert said.startswith("«\u00a012,000 mm\u00a0» n’est pas une longueur")
