"""Forms of a message for a count, by language."""

from __future__ import annotations

import pytest

from girderply.wording import Voice
from girderply.wording import messages as tables
from girderply.wording.plurals import CATEGORIES, category


@pytest.mark.parametrize(
    ("language", "forms"),
    [
        # [Unicode CLDR, language plural rules, cardinal; from memory]
        ("en", {0: "other", 1: "one", 2: "other", 11: "other", 21: "other"}),
        ("en-US", {0: "other", 1: "one", 2: "other", 101: "other"}),
        ("fr", {0: "one", 1: "one", 2: "other", 21: "other"}),
        ("pl", {0: "many", 1: "one", 2: "few", 4: "few", 5: "many", 12: "many", 22: "few"}),
        ("de-AT", {0: "other", 1: "one", 3: "other"}),
    ],
)
def test_a_count_takes_the_form_of_its_language(language, forms):
    assert {n: category(language, n) for n in forms} == forms
    assert set(forms.values()) <= set(CATEGORIES)


def test_a_message_may_have_more_forms_and_what_is_not_there_is_other(monkeypatch):
    """Three forms, as Polish has them; "many" left out."""
    nails = {"nail": {"one": "{n} gw\u00f3\u017ad\u017a", "few": "{n} gwo\u017adzie",
                      "other": "{n} gwo\u017adzi"}}  # fmt: skip
    real = tables.area
    monkeypatch.setattr(tables, "area", lambda lg, n: nails if lg == "pl" else real(lg, n))
    said = [tables.text_of("pl", "kind.nail", n).format(n=n) for n in (1, 3, 5)]
    assert said == ["1 gw\u00f3\u017ad\u017a", "3 gwo\u017adzie", "5 gwo\u017adzi"]


def test_american_english_says_its_own_words_and_the_rest_as_english_does():
    voice = Voice("en-US")
    assert voice.phrase("cover.timber") == "Lumber"
    assert voice.phrase("kind.nail", n=1) == "nail"
    assert voice.phrase("face.front_up") == "front face up"
