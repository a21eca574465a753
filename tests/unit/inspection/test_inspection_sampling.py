"""Sampling a lot. Plans typed again: ISO 2859-1:1999, Tables 1 and 2-A (value from memory)."""

from __future__ import annotations

import math

import pytest

from girderply.errors import RangeError
from girderply.inspection.sampling import judge_lot, sample_plan


@pytest.mark.parametrize(
    ("lot", "aql", "letter", "size", "accept"),
    [
        (100, 2.5, "F", 20, 1),
        (200, 4.0, "G", 32, 3),
        (1200, 1.0, "J", 80, 2),
        (40, 6.5, "D", 8, 1),
        (3, 6.5, "A", 2, 0),
    ],
)
def test_plans_of_the_standard(lot, aql, letter, size, accept):
    """Value from memory: Table 1 level II, Table 2-A."""
    plan = sample_plan(lot, aql)
    assert (plan.code_letter, plan.size, plan.accept) == (letter, size, accept)
    assert plan.reject == accept + 1


@pytest.mark.parametrize("mode", ["normal", "tightened"])
@pytest.mark.parametrize("aql", [1.0, 2.5, 6.5])
def test_a_lot_at_its_limit_is_mostly_accepted_and_a_bad_one_less(mode, aql):
    """Binomial acceptance by hand: at the AQL at least 78 %, and less at three times the AQL."""
    for lot in (100, 400, 1200):
        plan = sample_plan(lot, aql, mode=mode)

        def accepted(p, plan=plan):
            n, c = plan.size, plan.accept
            return sum(math.comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(c + 1))

        assert 0.78 <= accepted(aql / 100) < 1.0
        assert accepted(3 * aql / 100) < accepted(aql / 100) - 0.1


def test_tightened_never_asks_less_than_normal():
    for lot in (5, 30, 100, 300, 1000):
        for aql in (1.0, 2.5, 4.0, 6.5):
            normal, tight = sample_plan(lot, aql), sample_plan(lot, aql, mode="tightened")
            assert tight.size >= normal.size
            assert tight.accept / tight.size <= normal.accept / normal.size


def test_a_small_lot_is_looked_at_as_a_whole():
    plan = sample_plan(4, 2.5)
    assert (plan.size, plan.whole_lot, plan.pieces("ab")) == (4, True, (1, 2, 3, 4))


def test_the_draw_is_the_same_for_the_same_lot_and_another_for_another():
    plan = sample_plan(150, 2.5)
    one = plan.pieces("0" * 64)
    assert one == plan.pieces("0" * 64)
    assert one != plan.pieces("1" * 64)
    assert len(set(one)) == plan.size
    assert one == tuple(sorted(one))
    assert 1 <= one[0] <= one[-1] <= 150


def test_accept_reject_open():
    plan = sample_plan(100, 2.5)
    pieces = plan.pieces("0" * 64)
    good = dict.fromkeys(pieces, "accepted")
    assert judge_lot(plan, pieces, good).verdict == "accepted"
    assert judge_lot(plan, pieces, good | {pieces[3]: "add"}).verdict == "accepted"
    two = judge_lot(plan, pieces, {pieces[3]: "add", pieces[7]: "engineer"})
    assert (two.verdict, two.nonconforming) == ("rejected", (pieces[3], pieces[7]))
    waiting = judge_lot(plan, pieces, good | {pieces[0]: "partial"})
    assert (waiting.verdict, waiting.open_pieces) == ("open", (pieces[0],))
    outside = [p for p in range(1, 101) if p not in pieces]
    assert judge_lot(plan, pieces, good | {outside[0]: "engineer"}).verdict == "accepted"
    two = {outside[0]: "engineer", outside[1]: "add"}
    assert judge_lot(plan, pieces, good | two).verdict == "rejected"


def test_the_risk_of_a_plan_by_hand():
    """3 of 20 looked at, none may be bad; 2 bad: 18 x 17 x 16 / (20 x 19 x 18)."""
    plan = sample_plan(20, 4.0)
    assert plan.risk(2) == pytest.approx(18 * 17 * 16 / (20 * 19 * 18))
    assert plan.risk(0) == 1.0
    assert plan.risk(20) == 0.0


@pytest.mark.parametrize("pieces", [(1, 2), tuple([1] * 20), tuple(range(90, 110))])
def test_another_sample_than_drawn_is_refused(pieces):
    with pytest.raises(RangeError, match="20 different pieces"):
        judge_lot(sample_plan(100, 2.5), pieces, {})


@pytest.mark.parametrize(
    ("lot", "aql", "other", "words"),
    [
        (1, 2.5, {}, "code letter"),
        (1201, 2.5, {}, "code letter"),
        (100, 2.4, {}, "not in the table"),
        (100, math.nan, {}, "finite"),
        (100, 0.65, {"mode": "tightened"}, "not in the table"),
        (100, 2.5, {"level": "IV"}, "code letter"),
    ],
)
def test_what_the_tables_do_not_have(lot, aql, other, words):
    with pytest.raises(RangeError, match=words):
        sample_plan(lot, aql, **other)
