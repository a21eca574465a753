"""A run gives back its fasteners: marks counted on fingers, from the hook end."""

from __future__ import annotations

from dataclasses import replace

import pytest

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.fasteners.runs import LeftOut, Run

# Four marks, 650, 800, 950 and 1 100 mm; two rows, which are rows 1 and 3 of the member.
RUN = Run(
    id="BC1-R2", member="BC1", stage=1, kind=FastenerKind.NAIL, first=650.0, step=150.0, marks=4,
    rows="all", numbers=(1, 3), offsets=(-40.0, 35.0), heights=(30.0, 105.0),
)  # fmt: skip


def places(run: Run) -> list[tuple[float, int]]:
    station, row = run.places()
    return [(float(s), run.numbers[int(r)]) for s, r in zip(station, row, strict=True)]


def test_a_nail_at_each_mark_of_each_row():
    assert places(RUN) == [
        (650.0, 1), (650.0, 3), (800.0, 1), (800.0, 3), (950.0, 1), (950.0, 3), (1100.0, 1),
        (1100.0, 3),
    ]  # fmt: skip
    assert (len(RUN), RUN.last) == (8, 1100.0)


@pytest.mark.parametrize(("parity", "rows"), [(0, (1, 3, 1, 3)), (1, (3, 1, 3, 1))])
def test_rows_that_take_turns_begin_as_the_parity_says(parity, rows):
    run = replace(RUN, rows="alternate", parity=parity)
    assert places(run) == [*zip((650.0, 800.0, 950.0, 1100.0), rows, strict=True)]


def test_what_is_left_out_is_a_whole_mark_or_one_row_of_it():
    run = replace(RUN, left_out=(LeftOut(1, "plate", "J2"), LeftOut(3, "edge", row=3)))
    assert places(run) == [(650.0, 1), (650.0, 3), (950.0, 1), (950.0, 3), (1100.0, 1)]
    turns = replace(run, rows="alternate")
    assert places(turns) == [(650.0, 1), (950.0, 1)]


def test_a_mark_alone_stands_at_its_own_station():
    alone = replace(RUN, step=0.0, marks=1, numbers=(3,), offsets=(35.0,), heights=(105.0,))
    assert places(alone) == [(650.0, 3)]
    assert alone.last == alone.first
