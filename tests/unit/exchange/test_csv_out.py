"""CSV as a spreadsheet reads it: RFC 4180; formula starts: common practice, no source."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hand_girder import hand_schedule

from girderply.exchange.csv_out import fasteners_csv, forces_csv, order_csv, table_text
from girderply.jobfile.job import UnitSystem
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.units.short_text import inert

SAMPLES = Path(__file__).parents[3] / "sample_jobs"


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_metric_positions_with_units_in_the_heading():
    nail, back_nail, bolt = rows(fasteners_csv(hand_schedule()))
    assert (nail["station (mm)"], nail["offset (mm)"]) == ("127.0", "-20.0")
    assert (back_nail["clench"], bolt["hole (mm)"], bolt["y (mm)"]) == ("yes", "13.0", "333.3")
    assert not any("(in)" in name for name in nail)


def test_the_side_that_a_point_is_bent_to_is_the_one_that_schedule_json_says():
    """As seen on the front face; nothing where a point is not bent."""
    schedule = build_schedule(read_job(SAMPLES / "two-ply-howe.toml"))
    told = {r["id"]: r["bent to"] for r in rows(fasteners_csv(schedule))}
    due = {f["id"]: f["bend"] or "" for f in to_contract(schedule)["fasteners"]}
    assert told == due
    assert {"up", "down", ""} <= set(told.values())


def test_imperial_job_is_in_inches_only():
    """127 mm is 5 in, 279.4 mm is 11 in: 25.4 mm to the inch exactly."""
    nail, back_nail, _ = rows(fasteners_csv(hand_schedule(units=UnitSystem.IMPERIAL)))
    assert (nail["station (in)"], back_nail["station (in)"]) == ("5.0", "11.0")
    assert not any("mm" in name for name in nail)


def test_order_multiplies_by_the_girders_and_disarms_notes():
    line = rows(order_csv(hand_schedule()))[0]
    assert (line["needed for one"], line["to order for one"], line["to order for all"]) == (
        *("2", "3"),
        "6",
    )
    assert line["note"].startswith("'=")
    imperial = rows(order_csv(hand_schedule(units=UnitSystem.IMPERIAL)))[0]
    assert imperial["mass for one (lb)"] == "0.066", "0.03 kg / 0.45359237"


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "＝1"])
def test_words_that_start_a_formula_are_disarmed(start):
    cell = inert(start)
    assert cell.startswith("'")
    assert cell.isprintable()


@pytest.mark.parametrize("cell", ["BC1-N1", "", "4.0 x 100", -45.5, 3])
def test_harmless_cells_stay(cell):
    assert table_text(["a", "b"], [[cell, 0]]) == f"a,b\r\n{cell},0\r\n"


def test_lines_end_as_rfc_4180_says():
    assert table_text(["a", "b"], [["x,y", 'q"']]) == 'a,b\r\n"x,y","q"""\r\n'


def test_forces_stand_as_in_the_schedule():
    made = build_schedule(read_job(SAMPLES / "two-ply-imperial.toml"))
    lines = rows(forces_csv(made))
    assert len(lines) == len(made.forces) + len(made.reactions)
    first, last = lines[0], lines[-1]
    force, reaction = made.forces[0], made.reactions[-1]
    assert (first["place"], first["ply"]) == (force.member, "1")
    assert float(first["N (lbf)"]) == pytest.approx(force.N / 4.4482216, abs=0.06)
    assert float(first["M (lbf in)"]) == pytest.approx(force.M / 4.4482216 / 25.4, abs=0.06)
    assert float(last["reaction most (lbf)"]) == pytest.approx(reaction.most / 4.4482216, abs=0.06)
