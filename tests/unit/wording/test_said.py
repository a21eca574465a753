"""What is decided is a value: equal where it says the same, in no language until it is told."""

from __future__ import annotations

import pickle
import re
from dataclasses import FrozenInstanceError
from pathlib import Path

import pytest

import girderply
from girderply.schedule import cautions
from girderply.units.show import Printed, Show
from girderply.wording import ENGLISH, Said, Voice, english, figures, joined, numeral, said, text
from girderply.wording.messages import FALLS_BACK, LANGUAGES, text_of


def test_a_message_is_equal_by_its_key_and_values_and_keeps_them_in_another_process():
    one = said("stage.title", number=1, all=2, title=said("action.title_then_turn"))
    assert one == said("stage.title", number=1, all=2, title=said("action.title_then_turn"))
    assert len({one, said("stage.title", number=1, all=2, title="x")}) == 2
    back = pickle.loads(pickle.dumps(one))
    assert back == one
    assert hash(back) == hash(one)


def test_it_is_told_in_the_language_that_is_asked_for_words_inside_it_too():
    words = said("read_back.at", where=cautions.not_for_assembly(), text=figures("2.5"))
    assert english(words) == "NOT FOR ASSEMBLY: 2.5"
    assert text(words, "fr") != english(words)
    assert text(cautions.not_for_assembly(), "fr") in text(words, "fr")
    assert text(words, "fr").endswith("2,5")


def test_text_that_is_data_stays_as_it_is():
    assert text("NOT FOR ASSEMBLY", "fr") == "NOT FOR ASSEMBLY"


@pytest.mark.parametrize(
    ("system", "in_english", "in_french"),
    [
        ("metric", "1\u00a0234.50\u00a0kN", "1\u00a0234,50\u00a0kN"),
        ("imperial", "277,527\u00a0lbf", "277\u00a0527\u00a0lbf"),
    ],
)
def test_numbers_take_the_signs_of_the_language(system, in_english, in_french):
    force = Show(system).force(1_234_500.0)
    assert (english(force), text(force, "fr")) == (in_english, in_french)
    assert Printed(system, ENGLISH).force(1_234_500.0) == in_english
    voice = Voice("fr")
    assert Printed(system, voice).force(1_234_500.0) == in_french


def test_a_row_is_told_one_by_one():
    row = joined(" / ", [cautions.not_for_assembly(), "BC1", numeral(2.5)])
    assert english(row) == "NOT FOR ASSEMBLY / BC1 / 2.5"
    assert text(row, "fr") == f"{text(cautions.not_for_assembly(), 'fr')} / BC1 / 2,5"


@pytest.mark.parametrize(
    "use",
    [str, format, "{}".format, lambda s: f"{s}", lambda s: s + "", lambda s: "" + s, " ".join,
     lambda s: s.upper(), lambda s: "NOT" in s, len],
)  # fmt: skip
def test_it_is_no_text_and_does_not_become_one_by_the_way(use):
    """So nothing is told in a language that nobody chose."""
    with pytest.raises((TypeError, AttributeError)):
        use(cautions.not_for_assembly())
    assert "not_for_assembly" in repr(cautions.not_for_assembly())


def test_a_type_checker_refuses_to_put_it_to_text():
    """It is no `str` and has no `+` from either side."""
    assert not issubclass(Said, str)
    assert not {"__add__", "__radd__", "__mod__", "__contains__", "__iter__"} & set(dir(Said))


def test_a_voice_tells_in_its_language_whatever_another_one_does():
    voice = Voice("fr")
    assert voice.phrase("cautions.not_for_assembly") == text(cautions.not_for_assembly(), "fr")
    assert ENGLISH.told(cautions.not_for_assembly()) == "NOT FOR ASSEMBLY"
    assert voice.told(cautions.not_for_assembly()) == text(cautions.not_for_assembly(), "fr")
    assert (voice.plain(cautions.demo()), voice.plain(2.5)) == (voice.told(cautions.demo()), "2.5")
    with pytest.raises(KeyError):
        voice.phrase("no.such")
    assert (ENGLISH.language, voice.language) == ("en", "fr")


def test_a_voice_is_a_value_that_travels_and_stays_as_it_is():
    voice = Voice("fr")
    assert pickle.loads(pickle.dumps(voice)) == voice
    assert {voice: 1, ENGLISH: 2} == {Voice("fr"): 1, Voice("en"): 2}
    with pytest.raises(FrozenInstanceError):
        voice.language = "en"  # type: ignore[misc]


def test_no_language_is_kept_anywhere_beside():
    """What writes text is handed a voice: a context or a global would be told by the way."""
    kept = re.compile(r"ContextVar|contextvars|threading\.local")
    folder = Path(girderply.__file__).parent
    assert [p.name for p in folder.rglob("*.py") if kept.search(p.read_text("utf-8"))] == []


@pytest.mark.parametrize("bad", ["", "de", "../en"])
def test_an_unknown_language_is_refused(bad):
    with pytest.raises(KeyError, match="no language"):
        Voice(bad)
    with pytest.raises(KeyError, match="no language"):
        text(cautions.demo(), bad)


def test_an_unknown_message_is_an_error_that_names_file_language_and_key():
    for language in LANGUAGES:
        home = FALLS_BACK.get(language, language)
        with pytest.raises(KeyError, match=f"data/{home}/cautions.json .*nobody_says_this"):
            text_of(language, "cautions.nobody_says_this")
        with pytest.raises(KeyError, match=f"data/{home}/cautions.json .*nobody_says_this"):
            text(Said("cautions.nobody_says_this"), language)
    with pytest.raises(KeyError, match="'nowhere' in 'en'"):
        text_of("en", "nowhere.demo")


def test_a_value_that_is_missing_is_named_with_its_message():
    with pytest.raises(KeyError, match=r"desk\.candidate in fr needs .*key"):
        text(said("desk.candidate", kind="nail"), "fr")
