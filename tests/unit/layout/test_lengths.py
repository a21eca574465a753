"""Strengthened lengths by hand: from mark to mark of the usual comb, joined while that saves time.

The bar has plates of 200 at both ends, 10 kept clear of them: free from 110 to 2890; the comb is a
zigzag at 150 from 125. Common practice: 0.20 minutes a nail, 0.30 a number, 0.50 a change of step,
so that a run and the way back to the other step are worth (3 x 0.30 + 2 x 0.50) / 0.20 = 9.5 nails.
"""

from dataclasses import replace

import pytest
from test_lay_out import bar_brief

from girderply.layout.lay_out import Workshop, Zones
from girderply.layout.lengths import closer, strengthened
from girderply.layout.spread import Density

ENDS = ((0.0, 200.0), (3000.0, 200.0))


def lengths(brief, *zones):
    """From where to where (mm), and the centres there."""
    made, first = ready(brief)
    step = made.tracks.tracks[0].comb.step
    found = strengthened(brief, made, first, [Density(*z) for z in zones])
    return [(first + a * step, first + b * step, option.centres) for a, b, option in found]


def ready(brief):
    """The only member of a brief, ready for its combs, and the first mark of its group."""
    shop = Workshop(brief)
    shop.lay_out(Zones())
    (one,), (first,) = shop._prepared.values(), shop._firsts.values()
    return one.ready, first


def test_a_length_begins_and_ends_on_marks_and_leaves_the_rest_as_it_is():
    """765 free before it are 10.2 nails more at 50, 1265 after it 16.9: neither is worth a run."""
    assert lengths(bar_brief(), (1000, 1600, 50)) == [(875.0, 1625.0, 50.0)]


def test_what_a_plate_covers_takes_no_nails_and_does_not_keep_lengths_apart():
    """A plate of 300 at 500, 10 clear: 445 free before are 5.9 nails more: less than a run."""
    brief = bar_brief(plates=(ENDS[0], (500.0, 300.0), ENDS[1]))
    ((start, end, centres),) = lengths(brief, (1000, 1600, 50))
    assert start <= 110.0
    assert 1600.0 <= end < 1750.0
    assert centres == 50.0


def test_short_timber_between_two_lengths_becomes_like_them():
    """One run for three spares two: 19 nails. 450 between them are 6 nails more; 2000 are 26."""
    near = lengths(bar_brief(), (450, 870, 50), (1330, 1700, 50))
    assert near == [(near[0][0], 1775.0, 50.0)]
    far = lengths(bar_brief(length=6000.0, plates=(ENDS[0], (6000.0, 200.0))),
                  (1400, 1600, 50), (3700, 3900, 50))  # fmt: skip
    assert [c for _, _, c in far] == [50.0, 50.0]


def test_the_closer_of_two_centres_holds_where_both_are_asked():
    """2500 at 75 on one side are 17 nails more at 50, 2800 on the other 19: more than a run."""
    long = bar_brief(length=9000.0, plates=(ENDS[0], (9000.0, 200.0)))
    found = lengths(long, (1500, 7500, 75), (4000, 4700, 50))
    assert [c for _, _, c in found] == [75.0, 50.0, 75.0]
    (a, b, _), (c, d, _), (e, f, _) = found
    assert (a <= 1500, b == c <= 4000, 4700 <= d == e, f >= 7500) == (True,) * 4


def test_a_nail_that_takes_longer_keeps_more_lengths_apart():
    """At 2 minutes a nail no nail is worth a number."""
    brief = bar_brief(plates=(ENDS[0], (500.0, 300.0), ENDS[1]))
    slow = replace(brief.rules, minutes=replace(brief.rules.minutes, nail=2.0))
    assert lengths(replace(brief, rules=slow), (1000, 1600, 50))[0][0] > 800.0


def test_enough_nails_in_the_least_time():
    """1500 at 150 are 10 nails. Half as many again: 15, so centres of 100 at most; the next the bar
    bears without another step are both rows at the same marks, 75."""
    brief = bar_brief()
    made, _ = ready(brief)
    options = made.tracks.options
    assert [o.centres for o in options[:2]] == [150.0, 120.0]
    pieces = [Density(0, 1500, 150)]
    chosen = closer(brief, pieces, options, 1.5)
    assert chosen is not None
    assert 1500 / chosen >= 14.5
    assert closer(brief, pieces, options, 1e9) == options[-1].centres
    assert closer(brief, [Density(0, 1500, options[-1].centres)], options, 2.0) is None


@pytest.mark.parametrize("ratio", [1.01, 1.4, 2.0, 2.9, float("inf")])
def test_closer_centres_give_as_many_as_are_due(ratio):
    """Half a nail less is made up in the next round."""
    brief = bar_brief()
    made, _ = ready(brief)
    chosen = closer(brief, [Density(0, 3000, 150)], made.tracks.options, ratio)
    due = 21.0 if ratio == float("inf") else 20 * ratio
    assert chosen is not None
    assert 3000 / chosen >= due - 0.5
