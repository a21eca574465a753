"""What the fields of a job file mean, in the languages whose words are not the schema's own."""

from __future__ import annotations

import pytest
from test_message_tables import NO_SPACE

from girderply.desk.forms import forms
from girderply.wording import ENGLISH, LANGUAGES, Voice
from girderply.wording.messages import DEFAULT, field_help

OTHERS = [language for language in LANGUAGES if language.partition("-")[0] != DEFAULT]


def fields(voice: Voice = ENGLISH) -> dict[str, str]:
    """Every field of the forms by its place, with its help."""
    tables = forms(voice)["tables"]
    return {f"{place}.{f['key']}": f["help"] for place, each in tables.items() for f in each}


@pytest.mark.parametrize("language", OTHERS)
def test_every_field_has_its_help_and_none_is_left_over(language):
    known = field_help(language)
    assert known.keys() == fields().keys()
    assert all(text.endswith((".", '"')) for text in known.values())


@pytest.mark.parametrize("language", OTHERS)
def test_the_forms_speak_it(language):
    english = fields()
    told = fields(Voice(language))
    assert [place for place in english if told[place] == english[place]] == []


def test_french_signs_keep_their_spaces():
    assert [k for k, text in field_help("fr").items() if NO_SPACE.search(text)] == []
