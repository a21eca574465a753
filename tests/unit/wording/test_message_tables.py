"""The tables of messages: complete in every language, and nothing in them that nobody says."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import pytest

import girderply
from girderply.wording import LANGUAGES
from girderply.wording.messages import FALLS_BACK, Entry, area
from girderply.wording.plurals import CATEGORIES

PACKAGE = Path(girderply.__file__).parent
DATA = PACKAGE / "wording" / "data"
AREAS = sorted(p.stem for p in (DATA / "en").glob("*.json"))
OTHERS = [language for language in LANGUAGES if language != "en"]


def places(entry: Entry) -> set[str]:
    text = entry if isinstance(entry, str) else " ".join(entry.values())
    return set(re.findall(r"\{(\w*)[^}]*\}", text))


def says(function: ast.expr) -> bool:
    """Whether a call takes the key of a message: `said(...)`, `voice.phrase(...)`."""
    if isinstance(function, ast.Name):
        return function.id == "said"
    return isinstance(function, ast.Attribute) and function.attr == "phrase"


def said_keys() -> tuple[set[str], set[str]]:
    """Keys written out in the code, and the beginnings of those that are put together."""
    whole: set[str] = set()
    begun: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not node.args or not says(node.func):
                continue
            first = node.args[0]
            for key in [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]:
                if isinstance(key, ast.Constant):
                    whole.add(str(key.value))
                elif isinstance(key, ast.JoinedStr) and isinstance(key.values[0], ast.Constant):
                    begun.add(str(key.values[0].value))
    return whole, begun


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_a_folder_of_the_same_areas(language):
    own = sorted(p.stem for p in (DATA / language).glob("*.json"))
    assert set(own) <= set(AREAS) if language in FALLS_BACK else own == AREAS
    assert sorted(p.name for p in DATA.iterdir()) == sorted(LANGUAGES)


@pytest.mark.parametrize(("language", "other"), FALLS_BACK.items())
def test_a_language_that_falls_back_holds_only_what_it_says_otherwise(language, other):
    for file in (DATA / language).glob("*.json"):
        theirs, own = area(other, file.stem), json.loads(file.read_text("utf-8"))
        assert own, file.name
        assert list(own) == [key for key in theirs if key in own], file.name
        assert [key for key in own if own[key] == theirs[key]] == [], file.name


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("name", AREAS)
def test_a_language_says_everything_with_the_same_values(language, name):
    english, other = area("en", name), area(language, name)
    assert list(other) == list(english)
    for key, entry in english.items():
        assert places(other[key]) == places(entry), key
        assert isinstance(other[key], str) == isinstance(entry, str), key


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", AREAS)
def test_texts_are_whole(language, name):
    for key, entry in area(language, name).items():
        texts = [entry] if isinstance(entry, str) else list(entry.values())
        assert isinstance(entry, str) or {"one", "other"} <= set(entry) <= set(CATEGORIES), key
        for text in texts:
            assert "\n" not in text, key
            assert text.strip() or name == "figures", key
            # A value is put in as it is: no attribute, no format, no number of a place.
            assert all(re.fullmatch(r"\{\w+\}", p) for p in re.findall(r"\{[^}]*\}?", text)), key
    file = DATA / language / f"{name}.json"
    if not file.is_file():
        return
    pairs: list[str] = []
    json.loads(file.read_text("utf-8"), object_pairs_hook=lambda p: pairs.extend(k for k, _ in p))
    names = [k for k in pairs if k not in CATEGORIES]
    assert len(names) == len(set(names)), "a key stands twice"


def test_everything_said_is_in_the_table_and_the_other_way_round():
    whole, begun = said_keys()
    known = {f"{name}.{key}" for name in AREAS if name != "figures" for key in area("en", name)}
    assert whole - known == set()
    assert {b for b in begun if not any(k.startswith(b) for k in known)} == set()
    assert {k for k in known - whole if not k.startswith(tuple(begun) or ("#",))} == set()


# French signs of two parts have a space before them that does not break, guillemets inside too.
# [Lexique des règles typographiques en usage à l'Imprimerie nationale; from memory]
NO_SPACE = re.compile(
    r"[^\u00a0][;!?\u00bb]"  # none before one of these
    r"|(?<!\u00a0):(?![\d{/])"  # none before a colon, but in 1:50 and in an address
    r"|\u00ab(?!\u00a0)"
    r"| [:%]"  # one that breaks
)


@pytest.mark.parametrize("name", AREAS)
def test_french_signs_keep_their_spaces(name):
    for key, entry in area("fr", name).items():
        for text in [entry] if isinstance(entry, str) else entry.values():
            assert not NO_SPACE.search(text), key


@pytest.mark.parametrize(
    "text", ["ici: non", "ici : non", "oui ; non", "non!", "\u00abnon\u00bb", "5 %"]
)
def test_a_sign_without_its_space_is_found(text):
    assert NO_SPACE.search(text)
