"""Lines that are said when they are read: once, in the language that was spoken, or said again."""

import pickle

from girderply.wording import Later, numeral, phrase, retold, speaking


def _promised() -> tuple[Later, list[str]]:
    said: list[str] = []

    def make() -> list[str]:
        said.append("said")
        return [numeral(1.5, ".1f"), phrase("check.fixing_mode")]

    return Later(make), said


def test_nothing_is_said_before_it_is_read_and_nothing_twice() -> None:
    """Most calculations are never opened."""
    lines, said = _promised()
    assert not said
    assert (len(lines), lines[0], lines[:1]) == (2, "1.5", ("1.5",))
    assert list(lines) == list(lines)
    assert said == ["said"]


def test_lines_are_in_the_language_of_their_promise_wherever_they_are_read() -> None:
    """What is decided in English stays English; what is retold is said again."""
    lines, _ = _promised()
    with speaking("fr"):
        assert lines[0] == "1.5"
        again = retold({"steps": lines})["steps"]
    assert again[0] == "1,5"
    assert again[1] != lines[1]


def test_lines_are_like_a_tuple_of_them_here_and_in_another_process() -> None:
    """They compare, hash and travel as one."""
    lines, _ = _promised()
    other, _ = _promised()
    assert lines == other == tuple(lines)
    assert lines != Later(lambda: ["1.5"])
    assert hash(lines) == hash(tuple(lines))
    there = pickle.loads(pickle.dumps(lines))
    assert there == lines
    assert type(there) is tuple
