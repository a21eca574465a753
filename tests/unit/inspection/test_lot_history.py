"""Normal and tightened inspection over a series of lots.

ISO 2859-1:1999, 9.3.1 to 9.3.3 and 9.4, from memory, to be checked: 2 of 5 or fewer consecutive
lots rejected: tightened; 5 consecutive accepted: normal again; 5 rejected while tightened: ended.
"""

from __future__ import annotations

import pytest

from girderply.errors import RangeError
from girderply.inspection.lot_history import (
    EarlierLot,
    earlier_lot,
    mode_after,
    series,
    switched,
)
from girderply.wording import english


def lots(word):
    """a: accepted, r: rejected, oldest first."""
    return [EarlierLot(f"{i}", f"{i}", 20, 4.0, "II", c == "a") for i, c in enumerate(word)]


@pytest.mark.parametrize(
    ("word", "mode"),
    [
        ("", "normal"),
        ("r", "normal"),
        ("rr", "tightened"),
        ("raaar", "tightened"),
        ("raaaar", "normal"),  # six lots: the first is out of the five
        ("rraaaa", "tightened"),
        ("rraaaaa", "normal"),
        ("rraaaraaaa", "tightened"),
        ("rraaaraaaaa", "normal"),
        ("rraaaaar", "normal"),  # the two before it were of the time before
    ],
)
def test_two_of_five_tighten_and_five_in_a_row_ease(word, mode):
    found = switched(lots(word))
    assert (english(found.mode), found.discontinued, found.lots) == (mode, False, len(word))


def test_five_rejected_while_tightened_end_it():
    assert not switched(lots("rr" + "rarar" + "r")).discontinued
    assert switched(lots("rr" + "rarar" + "rr")).discontinued
    with pytest.raises(RangeError, match="sampling is ended"):
        mode_after(None, lots("rrrrrrr"))


def test_the_history_decides_and_nobody_may_be_kinder():
    assert mode_after(None, lots("rr")) == "tightened"
    assert mode_after("tightened", lots("aa")) == "tightened"
    assert mode_after(None, lots("aa")) == "normal"
    with pytest.raises(RangeError, match=r"2 of the last 3 lots.*tightened \(2 of 5\)"):
        mode_after("normal", lots("arr"))
    # without a history nobody knows, and what is said holds
    assert mode_after(None, None) == "normal"
    assert mode_after("normal", None) == "normal"


def page(verdict="accepted", bad=(), **other):
    return {
        "schema": "girderply.lot/1", "job": "J", "mark": "G", "revision": "A",
        "content_hash": "a" * 64, "lot_size": 20, "aql": 4.0, "level": "II",
        "verdict": verdict, "nonconforming": list(bad), "reject": 1,
    } | other  # fmt: skip


def test_a_lot_counts_as_it_was_found_first():
    """Closed after all were looked at and made good: the sample had failed all the same."""
    assert earlier_lot(page()).accepted
    assert not earlier_lot(page("rejected", [3])).accepted
    assert not earlier_lot(page("closed", [3])).accepted
    assert earlier_lot(page("closed")).accepted
    assert earlier_lot(page("open")) is None
    first, then = (earlier_lot(page(v, b)) for v, b in (("rejected", [3]), ("closed", [])))
    assert [x.accepted for x in series([first, then], "b" * 64, 4.0, "II")] == [False]
    assert series([first], "a" * 64, 4.0, "II") == []  # no lot is before itself
    assert series([first], "b" * 64, 2.5, "II") == []
    for wrong in ({"schema": "x"}, page() | {"reject": None}, {"schema": "girderply.lot/1"}):
        with pytest.raises(ValueError, match="is no girderply"):
            earlier_lot(wrong)
