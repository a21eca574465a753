"""Stations of rows: even, no wider than asked, fit for a tape."""

import numpy as np
import pytest

from girderply.layout.region import Intervals
from girderply.layout.spread import Density, Phase, Tape, even, sequence


def pieces(*pairs):
    return Intervals(np.array([a for a, _ in pairs], float), np.array([b for _, b in pairs], float))


def test_a_piece_that_divides_has_both_ends_and_equal_steps():
    """0 to 900 at 150: seven stations by counting on a tape."""
    assert even(0, 900, 150, Phase(), Tape(5)) == [0, 150, 300, 450, 600, 750, 900]


def test_a_piece_that_does_not_divide_is_spread_and_rounded():
    """103 to 787 is 684 long: 5 steps of 136.8 by hand; rounded to 5: 105 240 375 515 650 785."""
    assert even(103, 787, 150, Phase(), Tape(5)) == [105, 240, 375, 515, 650, 785]


def test_two_stages_fill_a_piece_together():
    """0 to 675 at 150 with a second stage half-way: 675 / 4.5 = 150 per step, 75 between them."""
    first = even(0, 675, 170, Phase(0.0, 0.5), Tape(5))
    second = even(0, 675, 170, Phase(0.5, 0.5), Tape(5))
    assert first == [0, 150, 300, 450, 600]
    assert second == [75, 225, 375, 525, 675]


def test_a_short_piece_has_one_in_its_middle():
    assert even(200, 260, 150, Phase(), Tape(5)) == [230]


def test_rounding_gives_way_where_it_would_widen_a_step():
    """Rounded to 5 mm, 12 to 24 would become 10 to 25, wider than 12: the exact places stay."""
    got = even(0, 36, 12, Phase(), Tape(5))
    assert got == [0, 12, 24, 36]


def test_quarter_inches():
    """Two pieces of 9 in from 2 1/4 in: multiples of 6.35 mm."""
    got = even(2.25 * 25.4, 20.25 * 25.4, 9 * 25.4, Phase(), Tape(6.35))
    assert got == pytest.approx([2.25 * 25.4, 11.25 * 25.4, 20.25 * 25.4], abs=1e-8)


def test_pieces_are_filled_one_by_one():
    got = sequence(pieces((0, 300), (500, 560), (700, 1000)), 150, Phase(), Tape(5))
    assert got.tolist() == [0, 150, 300, 530, 700, 850, 1000]


def test_a_closer_zone_is_closer_only_there():
    """Centres 150, but 50 from 300 to 450."""
    got = sequence(pieces((0, 600)), 150, Phase(), Tape(5), [Density(300, 450, 50)])
    assert got.tolist() == [0, 150, 300, 350, 400, 450, 600]


def test_short_pieces_between_brackets_take_one_each():
    """Pieces of 200, 100 apart, at 300: a nail in each middle is 300 from the next."""
    got = sequence(pieces((0, 200), (300, 500), (600, 800), (900, 1500)), 300, Phase(), Tape(5))
    # The first has no neighbour on its left: both its ends, 200 apart.
    assert got.tolist() == [0, 200, 400, 700, 900, 1200, 1500]
