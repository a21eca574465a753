"""Bolt lengths worked by hand, and threaded rod."""

from __future__ import annotations

from dataclasses import replace

import pytest

from girderply.catalogue import bolt, choose_bolt, thread_length, washer
from girderply.errors import RangeError
from girderply.wording import english

M12, SQUARE = bolt("M12"), washer("DIN 436 M12")


def test_two_plies_of_38():
    chosen = choose_bolt(M12, SQUARE, 2 * 38.0)
    # 76 + 2 x 4 + 10.8 (nut, ISO 4032, from memory) + 2 x 1.75 = 98.3
    assert chosen.needed == pytest.approx(98.3)
    assert (chosen.length, chosen.threaded_rod, chosen.note) == (100.0, False, "")
    assert chosen.spec == "M12 x 100"


@pytest.mark.parametrize(
    ("plies", "needed", "cut"),
    [
        (3, 136.3, 155.0),  # 114 + 8 + 10.8 + 3.5; rod 114 + 2 (4 + 10.8 + 3.5) = 150.6
        (6, 250.3, 265.0),  # 228 + 22.3; rod 228 + 36.6 = 264.6
    ],
)
def test_more_plies_take_threaded_rod(plies, needed, cut):
    chosen = choose_bolt(M12, SQUARE, plies * 38.0)
    assert chosen.needed == pytest.approx(needed)
    assert (chosen.length, chosen.threaded_rod) == (cut, True)
    assert f"DIN 601 or ISO 4016 of at least {needed:.1f} mm" in english(chosen.note)
    assert "ask the supplier" in english(chosen.note)
    assert chosen.spec == f"M12 x {cut:g} threaded rod"


def test_two_plies_of_one_and_a_half_inch():
    chosen = choose_bolt(bolt("1/2 in"), washer("cut 1/2 in"), 76.2)
    # 3.0 + 2 x 0.109 + 0.448 + 2/13 = 3.8198 in; next on the list 4 in
    assert chosen.needed / 25.4 == pytest.approx(3.8198, abs=5e-5)
    assert chosen.spec == "1/2 in x 4 in"


def test_longest_list_length_that_is_needed_exactly_is_taken():
    grip = 120.0 - 2 * 4 - 10.8 - 3.5
    assert choose_bolt(M12, SQUARE, grip).length == 120.0
    assert choose_bolt(M12, SQUARE, grip + 0.01).threaded_rod


def test_the_nut_never_runs_onto_the_plain_shank():
    for size, plate in (("M8", "ISO 7094 M8"), ("M24", "DIN 436 M24"), ("1/4 in", "cut 1/4 in")):
        b, w = bolt(size), washer(plate)
        for tenths in range(300, 2300, 7):
            chosen = choose_bolt(b, w, tenths / 10)
            assert chosen.length >= chosen.needed - 1e-6
            if not chosen.threaded_rod:
                shank = chosen.length - thread_length(b, chosen.length)
                assert shank <= tenths / 10 + 2 * w.thickness + 1e-6


def test_a_thread_too_short_is_told():
    # 1/4 in: 7.75 + 2 x 0.065 + 0.226 + 2/20 = 8.206 in; the 9 in bolt is threaded for 1 in only,
    # so 8 in of plain shank would stand 0.12 in proud of 7.88 in of timber and washers.
    chosen = choose_bolt(bolt("1/4 in"), washer("cut 1/4 in"), 7.75 * 25.4)
    assert chosen.threaded_rod
    assert "9 in, has too little thread" in english(chosen.note)
    # rod: 7.75 + 2 (0.065 + 0.226 + 0.1) = 8.532, up to the next quarter inch
    assert chosen.length / 25.4 == pytest.approx(8.75)


def test_a_longer_bolt_with_enough_thread_is_taken_and_told():
    # With 94.5 clamped (grip and washers) the plain 125 - 30 = 95 would jam; 130 - 36 = 94 is free
    made_up = replace(M12, lengths=(125.0, 130.0), nut_height=26.0)
    chosen = choose_bolt(made_up, SQUARE, 86.5)
    assert chosen.needed == pytest.approx(86.5 + 8 + 26 + 3.5)
    assert (chosen.length, chosen.threaded_rod) == (130.0, False)
    assert english(chosen.note) == "125 mm would reach, but its nut would run onto the plain shank"


@pytest.mark.parametrize(
    ("length", "thread"), [(100.0, 30.0), (125.0, 30.0), (130.0, 36.0), (220.0, 49.0), (25.0, 25.0)]
)
def test_thread_of_m12(length, thread):
    assert thread_length(M12, length) == thread  # ISO 4014: 2d + 6, + 12, + 25; from memory


def test_thread_in_inches():
    half = bolt("1/2 in")
    assert thread_length(half, 6 * 25.4) == pytest.approx(1.25 * 25.4)  # NDS L1, from memory
    assert thread_length(half, 6.5 * 25.4) == pytest.approx(1.5 * 25.4)


@pytest.mark.parametrize("grip", [0.0, -1.0, float("nan"), float("inf")])
def test_a_grip_that_is_none_is_refused(grip):
    with pytest.raises(RangeError, match="grip must be a positive length"):
        choose_bolt(M12, SQUARE, grip)


def test_a_washer_of_another_bolt_is_refused():
    with pytest.raises(RangeError, match="DIN 436 M16 does not belong to bolt M12"):
        choose_bolt(M12, washer("DIN 436 M16"), 76.0)
