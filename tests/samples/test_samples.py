"""Every sample job, end to end, as a user runs it."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from command import Ran, girderply
from contract_keys import missing_keys
from jsonschema import Draft202012Validator

from girderply.exchange.json_out import schedule_schema

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
# What a sample must be refused for at least, as code and place; all others are good. By hand:
# shallow: a nail of 5.0 mm needs 5 d = 25 mm to an edge [EN 1995-1-1, Table 8.2], the centreline
#   of a web of 35 mm has 17.5 mm; the chords of 120 mm have room.
# overloaded: 1.35 x 14 + 1.5 x 20 = 48.9 kN, 2/3 of it must leave ply 1. Splitting of ply 1
#   [EN 1995-1-1, 8.1.4]: even if h_e reached the bracket's top, 73.5 + 65 = 138.5 of 147 mm,
#   14 x 38 x sqrt(138.5 / (1 - 138.5 / 147)) = 26.0 kN, 12.0 kN permanent and 16.0 kN medium,
#   against 12.6 and 32.6 kN. That nails do not pass it on is what the sample says of itself.
REFUSED: dict[str, set[tuple[str, str]]] = {
    "refused-shallow": {("member-too-shallow", f"W{n}") for n in (1, 2, 3, 4)},
    "refused-overloaded": {
        ("check-failed", place) for place in ("W.i1.PV", "W.split.P", "W.split.PV")
    },
}


def jobs() -> list[Path]:
    return sorted(SAMPLES.glob("*.toml"))


each_job = pytest.mark.parametrize("job", jobs(), ids=lambda p: p.stem)
_ran: dict[Path, Ran] = {}


def as_json(capsys, job: Path) -> Ran:
    """`girderply schedule JOB --format json`, run once per process."""
    if job not in _ran:
        _ran[job] = girderply(capsys, "schedule", job, "--format", "json")
    return _ran[job]


def contract_of(capsys, job: Path) -> dict[str, Any]:
    return json.loads(as_json(capsys, job).out, parse_constant=pytest.fail)


def expected_code(job: Path) -> int:
    return 1 if job.stem in REFUSED else 0


def test_the_samples_are_those_that_were_asked_for():
    """Two to six plies, both unit systems, shapes and nodes, standing plies, two refused."""
    stems = {p.stem for p in jobs()}
    assert stems == {
        *("two-ply-howe", "three-ply-pratt", "four-ply-parallel", "two-ply-imperial", "six-ply"),
        *("two-ply-screwed", "truncated-nodes", "refused-shallow", "refused-overloaded"),
        *("three-ply-upright", "three-ply-one-face"),
    }
    assert set(REFUSED) <= stems


@each_job
def test_check(capsys, job):
    ran = girderply(capsys, "check", job)
    assert ran.code == expected_code(job), ran.err
    verdict, _, _, shares = ran.out.splitlines()
    assert ": good" in verdict or ": NOT FOR ASSEMBLY; " in verdict
    assert ("with ASSUMED VALUES" in verdict) == (job.stem == "six-ply")
    assert "share" in shares
    assert ("NOT FOR ASSEMBLY" in ran.out) == (job.stem in REFUSED)
    assert "Do not lift the girder" in ran.err


@each_job
def test_json_keeps_the_contract(capsys, job):
    contract = contract_of(capsys, job)
    assert as_json(capsys, job).code == expected_code(job)
    assert missing_keys(contract) == set()
    Draft202012Validator(schedule_schema()).validate(contract)
    ids = [f["id"] for f in contract["fasteners"]]
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize(
    "job", [j for j in jobs() if j.stem != "two-ply-imperial"], ids=lambda p: p.stem
)
def test_lengths_typed_in_inches_give_the_same_layout(capsys, job, tmp_path):
    """Every length of the job, written as so many inches (25.4 mm, exact by definition)."""
    text = job.read_text(encoding="utf-8")
    typed = re.sub(
        r'"(-?[\d.]+) (mm|m)"',
        lambda m: f'"{float(m[1]) * (1000 if m[2] == "m" else 1) / 25.4!r} in"',
        text,
    )
    assert typed.count(' in"') >= 10
    other = tmp_path / job.name
    other.write_text(typed, encoding="utf-8")
    ran = girderply(capsys, "schedule", other, "--format", "json")
    mine, theirs = contract_of(capsys, job), json.loads(ran.out)
    assert [f["id"] for f in mine["fasteners"]] == [f["id"] for f in theirs["fasteners"]]
    for key in ("station_mm", "offset_mm", "x_mm", "y_mm"):
        here, there = ([f[key] for f in s["fasteners"]] for s in (mine, theirs))
        assert there == pytest.approx(here, abs=1e-6)


@each_job
def test_refused_for_what_it_should_be_and_for_nothing_else(capsys, job):
    contract = contract_of(capsys, job)
    errors = {(f["code"], f["where"]) for f in contract["findings"] if f["severity"] == "error"}
    assert REFUSED.get(job.stem, set()) <= errors
    assert contract["for_assembly"] == (not errors)
    if job.stem not in REFUSED:
        assert errors == set()
        assert all(check["ok"] for check in contract["checks"])


def test_overloaded_sample_asks_what_a_hand_calculation_asks(capsys):
    """P (n - k) / n of 1.35 x 14 + 1.5 x 32 = 66.9 kN: 44.6 kN over interface 1, 22.3 over 2."""
    contract = contract_of(capsys, SAMPLES / "refused-overloaded.toml")
    asked = {check["id"]: check["demand"] for check in contract["checks"]}
    assert asked["W.i1.PV"] == pytest.approx(44_600.0, abs=0.5)
    assert asked["W.i2.PV"] == pytest.approx(22_300.0, abs=0.5)


@each_job
def test_counts_of_the_stages_add_up(capsys, job):
    contract = contract_of(capsys, job)
    assert counted(contract) == (contract["totals"]["nails"], contract["totals"]["bolts"])
    assert sum(contract["totals"]["by_spec"].values()) == len(contract["fasteners"])


def counted(contract: dict[str, Any]) -> tuple[int, int]:
    """Nails and bolts, added up from the stages; each stage agrees with the list of fasteners."""
    total: Counter[str] = Counter()
    for stage in contract["stages"]:
        listed = Counter(
            (f["member"], f["kind"]) for f in contract["fasteners"] if f["stage"] == stage["number"]
        )
        counts = {(m, kind): n for m, kinds in stage["counts"].items() for kind, n in kinds.items()}
        assert counts == dict(listed)
        for (_, kind), n in counts.items():
            total[kind] += n
    return total["nail"], total["bolt"]


@each_job
def test_order_covers_the_washers_and_nuts(capsys, job):
    contract = contract_of(capsys, job)
    needed: Counter[str] = Counter()
    for line in contract["order"]:
        needed["bolt" if line["kind"] == "threaded rod" else line["kind"]] += line["needed"]
        assert line["ordered"] >= line["needed"]
    for kind in ("nail", "bolt", "washer", "nut"):
        assert needed[kind] == contract["totals"][f"{kind}s"], kind


@each_job
def test_csv_has_a_row_per_fastener_in_the_job_s_units(capsys, job):
    ran = girderply(capsys, "schedule", job, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(ran.out, newline="")))
    contract = contract_of(capsys, job)
    assert [row["id"] for row in rows] == [f["id"] for f in contract["fasteners"]]
    unit, size = {"imperial": ("in", 25.4), "metric": ("mm", 1.0)}[contract["job"]["units"]]
    last = float(rows[-1][f"station ({unit})"]) * size
    # tenths of a millimetre or ten-thousandths of an inch are printed
    assert last == pytest.approx(contract["fasteners"][-1]["station_mm"], abs=0.051)


@each_job
def test_table_lists_every_member(capsys, job):
    ran = girderply(capsys, "schedule", job)
    contract = contract_of(capsys, job)
    first_words = {line.split()[0] for line in ran.out.splitlines() if line.strip()}
    assert {m["id"] for m in contract["members"]} <= first_words
    imperial = contract["job"]["units"] == "imperial"
    assert ("\N{NO-BREAK SPACE}mm" in ran.out) != imperial


@each_job
def test_pack_makes_every_file(capsys, job, tmp_path):
    ran = girderply(capsys, "pack", job, "--out", tmp_path / "out")
    assert ran.code == expected_code(job), ran.err
    folder = Path(ran.out.strip())
    assert folder.parent == tmp_path / "out"
    files = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    plain = {"yard.pdf", "inspection.pdf", "delivery.pdf", "engineer.pdf"}
    plain |= {"job.toml", "schedule.json", "schedule.csv", "order.csv", "forces.csv"}
    plain |= {"contents.sha256"}
    plain |= {"tick-off.csv", "tick-off.html", "schedule.xlsx", "girder.dxf"}
    plain |= {"exchange/girder.ifc", "exchange/girder.btlx"}
    drawings = files - plain
    assert plain <= files
    assert drawings
    assert all(name.startswith("drawings/") and name.endswith(".svg") for name in drawings)
    from_pack = json.loads((folder / "schedule.json").read_text("utf-8"))
    assert from_pack == contract_of(capsys, job)
