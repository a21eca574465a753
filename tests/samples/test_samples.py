"""Every sample job, end to end, as a user runs it."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from pathlib import Path

import pytest
from command import girderply
from contract_keys import missing_keys
from jsonschema import Draft202012Validator

from girderply.exchange.json_out import schedule_schema

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
# What each sample must be refused for, as code and place; all others are good. By hand: a nail of
# 5.0 mm needs 5 d = 25 mm to an edge [EN 1995-1-1, Table 8.2], the centreline of a web of 35 mm
# has 17.5 mm; its chords of 120 mm have room.
REFUSED: dict[str, set[tuple[str, str]]] = {
    "refused-shallow": {("member-too-shallow", f"W{n}") for n in (1, 2, 3, 4)},
}


def jobs() -> list[Path]:
    return sorted(SAMPLES.glob("*.toml"))


each_job = pytest.mark.parametrize("job", jobs(), ids=lambda p: p.stem)


def expected_code(job: Path) -> int:
    return 1 if job.stem in REFUSED else 0


def test_the_samples_are_those_that_were_asked_for():
    """Two to six plies, both unit systems, shapes and nodes, and one that is refused."""
    stems = {p.stem for p in jobs()}
    assert stems == {
        *("two-ply-howe", "three-ply-pratt", "four-ply-parallel", "two-ply-imperial", "six-ply"),
        *("truncated-nodes", "refused-shallow"),
    }
    assert set(REFUSED) <= stems


@each_job
def test_check(capsys, job):
    ran = girderply(capsys, "check", job)
    assert ran.code == expected_code(job), ran.err
    assert len(ran.out.splitlines()) == 1
    assert ("NOT FOR ASSEMBLY" in ran.out) == (job.stem in REFUSED)
    assert "Do not load or lift the girder" in ran.err


@each_job
def test_json_keeps_the_contract(capsys, job):
    ran = girderply(capsys, "schedule", job, "--format", "json")
    assert ran.code == expected_code(job)
    contract = json.loads(ran.out, parse_constant=pytest.fail)
    assert contract["schema"] == "girderply.schedule/1"
    assert missing_keys(contract) == set()
    Draft202012Validator(schedule_schema()).validate(contract)
    assert counted(contract) == (contract["totals"]["nails"], contract["totals"]["bolts"])
    assert sum(contract["totals"]["by_spec"].values()) == len(contract["fasteners"])
    ids = [f["id"] for f in contract["fasteners"]]
    assert len(set(ids)) == len(ids)
    errors = {(f["code"], f["where"]) for f in contract["findings"] if f["severity"] == "error"}
    assert errors == REFUSED.get(job.stem, set())


def counted(contract: dict) -> tuple[int, int]:
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
    contract = json.loads(girderply(capsys, "schedule", job, "--format", "json").out)
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
    contract = json.loads(girderply(capsys, "schedule", job, "--format", "json").out)
    assert [row["id"] for row in rows] == [f["id"] for f in contract["fasteners"]]
    unit, size = {"imperial": ("in", 25.4), "metric": ("mm", 1.0)}[contract["job"]["units"]]
    last = float(rows[-1][f"station ({unit})"]) * size
    # tenths of a millimetre or ten-thousandths of an inch are printed
    assert last == pytest.approx(contract["fasteners"][-1]["station_mm"], abs=0.051)


@each_job
def test_table_lists_every_member(capsys, job):
    ran = girderply(capsys, "schedule", job)
    contract = json.loads(girderply(capsys, "schedule", job, "--format", "json").out)
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
    plain = {"pack.pdf", "schedule.json", "schedule.csv", "order.csv", "contents.sha256"}
    drawings = files - plain
    assert plain <= files
    assert drawings
    assert all(name.startswith("drawings/") and name.endswith(".svg") for name in drawings)
    from_pack = json.loads((folder / "schedule.json").read_text("utf-8"))
    printed = json.loads(girderply(capsys, "schedule", job, "--format", "json").out)
    assert from_pack == printed
