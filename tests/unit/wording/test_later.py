"""Lines that are made when they are read: once, and like a tuple of them."""

import pickle

from girderply.wording import Later, Said, english, numeral, said


def _promised() -> tuple[Later, list[str]]:
    calls: list[str] = []

    def make() -> list[Said]:
        calls.append("made")
        return [numeral(1.5, ".1f"), said("check.fixing_mode")]

    return Later(make), calls


def test_nothing_is_made_before_it_is_read_and_nothing_twice() -> None:
    """Most calculations are never opened."""
    lines, calls = _promised()
    assert not calls
    assert (len(lines), english(lines[0]), lines[:1]) == (2, "1.5", (numeral(1.5),))
    assert list(lines) == list(lines)
    assert calls == ["made"]


def test_lines_are_like_a_tuple_of_them_here_and_in_another_process() -> None:
    """They compare, hash and travel as one."""
    lines, _ = _promised()
    other, _ = _promised()
    assert lines == other == tuple(lines)
    assert lines != Later(lambda: [numeral(1.5)])
    assert hash(lines) == hash(tuple(lines))
    there = pickle.loads(pickle.dumps(lines))
    assert there == lines
    assert type(there) is tuple
