"""Phrases keep what they were made from, and say it again in another language."""

from __future__ import annotations

import pickle
from dataclasses import dataclass

import pytest

from girderply.schedule import cautions
from girderply.units.show import Show
from girderply.wording import again, figures, joined, phrase, retold, speaking, spoken
from girderply.wording.messages import FALLS_BACK, LANGUAGES, text_of


@dataclass(frozen=True, slots=True)
class Holder:
    words: tuple[str, ...]
    number: float
    inner: dict[str, str]


def test_a_phrase_is_english_until_told_otherwise():
    assert spoken() == "en"
    said = cautions.not_for_assembly()
    assert said == "NOT FOR ASSEMBLY"
    with speaking("fr"):
        assert again(said) == cautions.not_for_assembly() != said
    assert spoken() == "en"


def test_speaking_ends_with_its_block_even_when_it_fails():
    with pytest.raises(ValueError, match="on purpose"), speaking("fr"):
        raise ValueError("on purpose")
    assert spoken() == "en"


def test_text_that_is_data_stays_as_it_is():
    with speaking("fr"):
        assert again("NOT FOR ASSEMBLY") == "NOT FOR ASSEMBLY"


@pytest.mark.parametrize(
    ("system", "english", "french"),
    [
        ("metric", "1\u00a0234.50\u00a0kN", "1\u00a0234,50\u00a0kN"),
        ("imperial", "277,527\u00a0lbf", "277\u00a0527\u00a0lbf"),
    ],
)
def test_numbers_take_the_signs_of_the_language(system, english, french):
    said = Show(system).force(1_234_500.0)
    assert said == english
    with speaking("fr"):
        assert again(said) == Show(system).force(1_234_500.0) == french


def test_joined_phrases_are_said_again_one_by_one():
    said = joined(" / ", [cautions.not_for_assembly(), "BC1", figures("2.5")])
    assert said == "NOT FOR ASSEMBLY / BC1 / 2.5"
    with speaking("fr"):
        assert again(said) == f"{cautions.not_for_assembly()} / BC1 / 2,5"


def test_a_phrase_comes_whole_out_of_another_process():
    said = joined(", ", [cautions.demo(), figures("1.5")])
    back = pickle.loads(pickle.dumps(said))
    assert back == said
    with speaking("fr"):
        assert again(back) == again(said) != said


def test_whatever_holds_phrases_is_said_again_and_the_rest_is_the_same_object():
    plain = Holder(("BC1", "x"), 1.5, {"a": "b"})
    held = Holder(("BC1", cautions.demo()), 1.5, {"a": cautions.not_for_assembly()})
    with speaking("fr"):
        assert retold(plain) is plain
        told = retold(held)
        assert told.words == ("BC1", cautions.demo())
        assert told.inner == {"a": cautions.not_for_assembly()}
    assert retold(held) == held


@pytest.mark.parametrize("bad", ["", "de", "../en"])
def test_an_unknown_language_is_refused(bad):
    with pytest.raises(KeyError, match="no language"), speaking(bad):
        pass


def test_an_unknown_message_is_an_error_that_names_file_language_and_key():
    for language in LANGUAGES:
        home = FALLS_BACK.get(language, language)
        with pytest.raises(KeyError, match=f"data/{home}/cautions.json .*nobody_says_this"):
            text_of(language, "cautions.nobody_says_this")
    with pytest.raises(KeyError, match="'nowhere' in 'en'"):
        text_of("en", "nowhere.demo")


def test_a_value_that_is_missing_is_named_with_its_message():
    with speaking("fr"), pytest.raises(KeyError, match=r"desk\.candidate in fr needs .*key"):
        phrase("desk.candidate", kind="nail")
