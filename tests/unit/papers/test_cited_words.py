"""Clauses, rule sets and places in the language of a sheet."""

from __future__ import annotations

import pytest

from girderply.errors import Finding, Severity
from girderply.papers.page.cited_words import clause_words, place_words
from girderply.papers.page.sheet_words import finding_words
from girderply.rules.loading import load_rule_set, rule_set_names
from girderply.wording import ENGLISH, Voice


@pytest.mark.parametrize("name", rule_set_names())
def test_a_rule_set_that_is_shipped_is_named_in_french(name):
    rules = load_rule_set(name)
    voice = Voice("en")
    assert clause_words(voice, rules.source) == rules.source
    voice = Voice("fr")
    french = clause_words(voice, rules.source)
    assert french != rules.source
    assert [w for w in french.split() if w.isdigit()] == [
        w for w in rules.source.split() if w.isdigit()
    ]


@pytest.mark.parametrize(
    ("clause", "french"),
    [
        ("8.1.4, Eq. (8.2), (8.4)", "8.1.4, éq. (8.2), (8.4)"),
        ("5.2(3) to (5)", "5.2(3) à (5)"),
        ("Table 8.2", "tableau 8.2"),
        ("Toronto code, 8.2", "Toronto code, 8.2"),
    ],
)
def test_a_clause_is_cited_in_french(clause, french):
    voice = Voice("fr")
    assert clause_words(voice, clause) == french
    voice = Voice("en")
    assert clause_words(voice, clause) == clause


def test_a_key_of_the_job_file_is_told_as_the_part_that_it_is_of():
    voice = Voice("fr")
    assert place_words(voice, "girder.members") == "ferme"
    assert place_words(voice, "loads.T1.bracket.nail_length") == "charges"
    assert place_words(voice, "loadster") == "loadster"
    assert place_words(voice, "W1") == "W1"


@pytest.mark.parametrize(
    ("where", "message", "sentence"),
    [
        ("girder", "the faces are loaded unlike", "The faces are loaded unlike."),
        ("", "the faces are loaded unlike", "The faces are loaded unlike."),
        ("b1", "b1 is long", "b1 is long."),
    ],
)
def test_a_sentence_begins_with_a_capital_and_a_name_as_it_is_written(where, message, sentence):
    assert finding_words(ENGLISH, Finding("code", Severity.WARNING, where, message)) == sentence
