"""File names from job text. Windows device names: value from memory of its naming rules."""

from __future__ import annotations

from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from girderply.exchange.names import LONGEST, folded, pack_folder, safe_name


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("R-12 G7 rev B", "R-12-G7-rev-B"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\Windows\\x", "C-Windows-x"),
        ("con", "con_"),
        ("COM1", "COM1_"),
        ("COM¹", "COM1_"),
        ("..", "unnamed"),
        ("", "unnamed"),
        ("Brücke №5", "Brücke-No5"),
        (".hidden", "hidden"),
        ("a\x00b\nc", "a-b-c"),
    ],
)
def test_names(text, expected):
    assert safe_name(text) == expected


@given(st.text(max_size=200))
def test_any_text_gives_one_plain_part(text):
    name = safe_name(text)
    assert 1 <= len(name) <= LONGEST + 1
    assert Path(name).name == name == PureWindowsPath(name).name
    assert not name.startswith(".")
    assert not set(name) & set('<>:"/\\|?*. ')
    assert not PureWindowsPath(name).is_reserved()


WORDS = st.text("aA1.-_ gG2/é", min_size=1, max_size=6)


@given(st.tuples(WORDS, WORDS, WORDS), st.tuples(WORDS, WORDS, WORDS))
@settings(max_examples=300, derandomize=True)
@example(("RH", "G1.2", "A"), ("RH", "G1-2", "A"))
@example(("RH", "G1", "A"), ("RH", "G1", "A."))
@example(("RH-1", "G", "A"), ("RH", "1-G", "A"))
@example(("R", "a-b", "rev"), ("R-a-b", "rev", "0"))
def test_two_girders_never_share_a_folder(one, two):
    """As a file system sees it that does not tell `A` from `a`."""
    same = [folded(a) == folded(b) for a, b in zip(one, two, strict=True)]
    if not all(same):
        assert pack_folder(*one).casefold() != pack_folder(*two).casefold()


def test_long_words_of_one_beginning_do_not_share_a_folder():
    long = "the long name of a girder over the hall "
    one, two = (pack_folder(f"RH-{long}{k}", f"{long}{k}", f"{long}{k}") for k in "ab")
    assert one != two
    assert max(len(one), len(two)) <= 86


def test_the_usual_name_is_plain():
    assert pack_folder("RH-101", "G1", "A") == "RH-101-G1-rev-A"
