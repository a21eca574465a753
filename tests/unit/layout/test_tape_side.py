"""The side that comes first where two places are alike: from the tape, then from the loads."""

from __future__ import annotations

from dataclasses import replace

from hand_girder import hand_schedule

from girderply.layout.bending import usual_bend
from girderply.layout.tape_side import tape_side


def turned(member):
    """The same member, its tape hooked at the other end."""
    return replace(member, hook=member.far, far=member.hook)


def test_it_is_where_the_bottom_chord_hooks_and_else_where_more_hangs():
    """By hand: 3,000 mm long, hooked at 0; in two halves hooked at the heels the load decides."""
    girder = hand_schedule().girder
    chord, web = girder.members
    assert tape_side(girder) == -1.0
    assert tape_side(replace(girder, members=(turned(chord), web))) == 1.0
    left = replace(chord, far=(1500.0, 60.0))
    right = replace(chord, id="BC2", hook=(3000.0, 60.0), far=(1500.0, 60.0))
    (load,) = girder.loads
    for x, side in ((300.0, -1.0), (2700.0, 1.0), (1500.0, -1.0)):
        halves = replace(girder, members=(left, right, web), loads=(replace(load, x=x),))
        assert tape_side(halves) == side


def test_a_point_in_the_middle_is_bent_away_from_the_hook():
    """An upright on its centreline, at mid-span: to the right where the tape hooks at the left."""
    girder = hand_schedule().girder
    chord, web = girder.members
    upright = replace(web, hook=(1500.0, 120.0), far=(1500.0, 900.0))
    assert usual_bend(girder, upright, 0.0, 1500.0) == -1
    other = replace(girder, members=(turned(chord), web))
    assert usual_bend(other, upright, 0.0, 1500.0) == 1
    assert usual_bend(other, turned(upright), 0.0, 1500.0) == -1
