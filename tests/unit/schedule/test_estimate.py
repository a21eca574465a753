"""Minutes of work, counted by hand."""

from __future__ import annotations

from dataclasses import replace

from hand_girder import hand_schedule

from girderply.fasteners.runs import LeftOut, Run, Single
from girderply.rules.rule_set import Minutes
from girderply.schedule.estimate import estimate, numbers_of, steps_of

BASE = Run("A-R1", "A", 1, "nail", 75.0, 300.0, 5, "one", (1,), (0.0,), (48.0,))
ROLES = {"A": "web", "B": "web", "C": "web", "D": "top chord"}


def run(member, **other):
    return replace(BASE, member=member, id=f"{member}-R1", **other)


def test_numbers_are_read_once_where_they_are_the_same():
    """A: 3. B: the same marks, read once. C: another count from the same first and step: 1.
    D: another role: 3. A mark alone 25 off a plate: 1, the second of that distance nothing."""
    beside = {"step": 0.0, "marks": 1}
    runs = [
        run("A"),
        run("B"),
        run("C", marks=4),
        run("C", first=1302.5, single=Single("plate", "J1", 25.0), **beside),
        run("D"),
        run("D", first=1700.5, single=Single("plate", "J2", 25.0), **beside),
        run("D", first=1800.0, single=Single("more"), **beside),
    ]
    assert numbers_of(runs, ROLES) == 3 + 0 + 1 + 1 + 3 + 0 + 1
    assert steps_of(runs) == 1
    assert steps_of([*runs, run("A", stage=2)]) == 2


def test_what_is_left_out_makes_other_marks():
    gap = (LeftOut(2, "plate", "J1"),)
    assert numbers_of([run("A"), run("B", left_out=gap)], ROLES) == 3 + 1


def test_minutes_of_a_girder_of_three_fasteners():
    """Two nails in a run of two marks (3 numbers, 1 step), one of them clenched, a bolt (1 number),
    the stack turned once: 2 a + 4 b + 1 c + 1 d + 1 e + 1 f."""
    made = hand_schedule()
    rates = Minutes(nail=1.0, number=10.0, step=100.0, clench=1000.0, turn=1e4, bolt=1e5)
    made = replace(made, rules=replace(made.rules, minutes=rates))
    found = estimate(made)
    assert (found.nails, found.numbers, found.steps) == (2, 4, 1)
    assert found.minutes == 111_142.0
