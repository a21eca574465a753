"""File names from job text. Windows device names: value from memory of its naming rules."""

from __future__ import annotations

from pathlib import Path, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from girderply.exchange.names import LONGEST, safe_name


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
