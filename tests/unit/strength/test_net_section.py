"""What bolt holes leave of a chord."""

from __future__ import annotations

import numpy as np
from helpers_strength import columns, girder, job

from girderply.strength.net_section import fullest_section, net_section_notes
from girderply.wording import english


def test_two_holes_in_one_section_of_195():
    """13 mm holes: 1 - 2 x 13/195 = 0.867; stations 30 mm apart are within half of 5 d = 60."""
    group = {"kind": "bolt", "spec": "M12", "drilled": 13.0}
    fasteners = columns(group | {"station": [900.0, 2000.0, 2030.0]})
    (note,) = net_section_notes(job(), girder(()), fasteners)
    assert note.code == "net-section"
    assert note.where == "BC1"
    assert "2 bolt holes in one section leave 87\u00a0%" in english(note.message)
    assert "first at station 2\u00a0000\u00a0mm" in english(note.message)


def test_nails_make_no_hole():
    assert net_section_notes(job(), girder(()), columns({"station": [900.0]})) == ()


def test_fullest_section_counts_what_lies_within():
    """Of the section through 529: from 499 to 559."""
    assert fullest_section(np.array([500.0, 0.0, 510.0, 531.0, 529.0]), 30.0) == (4, 500.0)
    assert fullest_section(np.array([500.0, 0.0, 510.0, 541.0, 571.5]), 30.0) == (2, 500.0)


def test_holes_on_both_sides_of_a_section_count_in_it():
    """Each within 30 mm of the middle one, the outer two 60 mm apart: three in its section."""
    assert fullest_section(np.array([1000.0, 1030.0, 1060.0, 1200.0]), 30.0) == (3, 1000.0)
