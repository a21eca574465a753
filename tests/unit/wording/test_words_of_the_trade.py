"""One word for one thing, sentences that a yard hand reads once, and no key of the job file.

Which word is the one to use: the project's glossary, collected from public texts on NF DTU 31.3 and
NF EN 14250 and from public North American truss glossaries; the rest from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from girderply.jobfile.fields import Table
from girderply.jobfile.job_form import JobFile
from girderply.wording import LANGUAGES
from girderply.wording.messages import area

# What the yard hand, the inspector and the supplier read.
SHEETS = (
    "action", "brackets", "cautions", "cover", "delivery", "elevation", "finish", "gauge",
    "handling", "inspection", "know", "label", "legend", "members", "order", "runs", "sheet",
    "stage", "stick", "tablet", "tick_off",
)  # fmt: skip
ALL = (
    *SHEETS, "action_kind", "assumed", "bolting", "calculation", "check", "designer", "diagram",
    "field", "finding", "ledger", "looks", "plausible", "read_back", "schedule", "sharing",
    "slips", "standing", "workbook", "worked",
)  # fmt: skip
MOST_WORDS = 25

BRITISH = (
    r"\btimber", r"\bclench", r"\bcentre", r"\btrestle", r"\bspanner", r"\bbrackets?\b",
    r"\bmass(es)?\b", r"\bnail plate", r"\blorry", r"\bcatalogue", r"\bgalvanised",
    r"\butilisation", r"\bhung load", r"\btick\b", r"\bdelivery note", r"\bmake good", r"\bstorey",
    r"\bprop(ped)?\b",
)  # fmt: skip
# What each language does not say, since another word says it, or since it is misread.
NOT_SAID = {
    "en": (
        r"must pass", r"without a word", r"\btap writes", r"\bno pass\b", r"^mind$", r"^due$",
        r"\blay plies \{", r"\bback up\b", r"^watch$", r"\bpitch\b(?! of)", r"\bstick list",
        r"square washers? for", r"\bload or lift", r"\blumber", r"\bcenter", r"\bo\.c\.",
        r"\btap a nail",
    ),
    "en-US": BRITISH,
    "fr": (
        r"pointage", r"accroche\b", r"\brévision", r"\bdossier(?! de fiches)", r"suspendue",
        r"\bbords?\b", r"\binspecteur", r"\bserrage", r"\bEq\.", r"clou(age|s?)\b", r"espacement",
        r"doit passer|doivent passer", r"\butilisé", r"[Bb]out (gauche|droit)", r"fermette",
        r"\b(the|and|with|from|only|nail|load|dead|live|to|of)\b",
    ),
}  # fmt: skip
# Texts that mean what the word says elsewhere.
MEANT = {
    ("en", "field.pitch"),  # the roof's
    ("en", "finding.too_close"),
    ("fr", "elevation.loads"),
    ("fr", "shape.warren"),
}


def texts(language: str, areas: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Key and text without its values, for every message."""
    for name in areas:
        for key, entry in area(language, name).items():
            for text in [entry] if isinstance(entry, str) else entry.values():
                yield f"{name}.{key}", text


@pytest.mark.parametrize(("language", "words"), NOT_SAID.items())
def test_a_thing_has_one_word(language, words):
    found = {
        (key, word)
        for key, text in texts(language, ALL)
        for word in words
        if (language, key) not in MEANT
        and re.search(word, re.sub(r"\{\w+\}", "{}", text), 0 if "Eq" in word else re.IGNORECASE)
    }
    assert found == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_on_a_sheet_of_the_yard_is_long(language):
    """A value counts as one word; a colon and a semicolon go on with the sentence."""
    long = {}
    for key, text in texts(language, SHEETS):
        for sentence in re.split(r"(?<=[.!?])\s+", text):
            words = [w for w in re.split(r"[\s\u00a0]+", sentence) if re.search(r"\w", w)]
            if len(words) > MOST_WORDS:
                long[key] = len(words)
    assert long == {}


def job_keys(model: type[Table] = JobFile) -> set[str]:
    """Every key of the job file that no word of a sentence is: with an underscore in it."""
    found: set[str] = set()
    for name, field in model.model_fields.items():
        found.add(name)
        for inner in re.findall(r"\w+Table", str(field.annotation)):
            for table in Table.__subclasses__():
                if table.__name__ == inner:
                    found |= job_keys(table)
    return found


def test_the_keys_of_a_job_are_found():
    assert {"plies_reached", "ply_thickness", "bolt_finish", "hook_ends"} <= job_keys()


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_key_of_the_job_file_stands_on_a_sheet(language):
    keys = {key for key in job_keys() if "_" in key}
    areas = (*SHEETS, "assumed", "finding", "designer", "looks", "plausible", "standing")
    said = {
        (key, word)
        for key, text in texts(language, areas)
        if key != "assumed.how_to_confirm"  # at the terminal and on the desk only
        for word in re.findall(r"[\[\w][\w.\[\]]*", re.sub(r"\{\w+\}", "", text))
        if word.strip("[].").rpartition(".")[2] in keys or word.startswith("[")
    }
    assert said == set()
