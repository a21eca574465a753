"""girderply share, as a person and a program run it."""

import json
from pathlib import Path

import pytest
from jobs_in_text import Ask, job_text
from typer.testing import CliRunner

from girderply.cli.app import app

SAMPLE = Path(__file__).parents[3] / "sample_jobs" / "three-ply-pratt.toml"
LOAD = '[[loads]]\nid = "L"\nchord = "BC1"\nface = "front"\nat = "3 m"\ndesign = "4 kN"\n'


def run(tmp_path, *words, ask=Ask(loads=LOAD)):  # noqa: B008  frozen
    path = tmp_path / "job.toml"
    path.write_text(job_text(ask), encoding="utf-8")
    return CliRunner().invoke(app, ["share", str(path), *words])


def data_of(tmp_path, *words, ask=Ask(loads=LOAD)):  # noqa: B008  frozen
    result = run(tmp_path, "--format", "json", *words, ask=ask)
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def test_a_table_of_what_was_found_the_bearings_and_the_hardest(tmp_path):
    result = run(tmp_path)
    assert result.exit_code == 0
    for words in (
        "2 plies: ultimate, bolts tight",
        "First yield at load factor",
        "Load factor by equal shares",
        "At the bearings",
        "The hardest fasteners",
    ):
        assert words in result.stdout
    assert result.stdout.count("50\u00a0%") >= 4, "equal share at two bearings of two plies"


def test_json_has_its_schema_and_balances(tmp_path):
    """4 kN as a design value is 4000 N at the bearings; to the 0.001 N that is written."""
    data = data_of(tmp_path)
    assert data["schema"] == "girderply.share/1"
    assert (data["state"], data["bolts"]) == ("ultimate", "tight")
    whole = sum(sum(b["reactions_N"]) for b in data["bearings"])
    assert whole == pytest.approx(4000.0, abs=0.004)
    assert data["for_assembly"] is True


def test_clearance_makes_a_bolted_girder_share_no_better(tmp_path):
    """Springs that bear later take load off no ply but the near one; at least one number moves."""
    tight = data_of(tmp_path)
    gap = data_of(tmp_path, "--bolts", "gap")
    assert gap["bolts"] == "gap"
    assert gap["slip_max_mm"] >= tight["slip_max_mm"]
    assert gap["fasteners"] != tight["fasteners"]


def test_serviceability_has_no_strength_and_nothing_is_raised(tmp_path):
    data = data_of(tmp_path, "--state", "serviceability")
    assert data["state"] == "serviceability"
    assert data["load_factor"] is None
    assert data["hardest"]["resistance_N"] is None


def test_exit_1_when_the_schedule_fails(tmp_path):
    heavy = Ask(loads=LOAD.replace("4 kN", "400 kN"))
    result = run(tmp_path, "--format", "json", ask=heavy)
    assert result.exit_code == 1
    data = json.loads(result.stdout)
    assert data["for_assembly"] is False
    assert {"sharing-fastener-over"} <= {f["code"] for f in data["findings"]}
    assert "WARNING" in result.stderr


def test_a_finding_of_the_springs_alone_leaves_the_exit_code():
    result = CliRunner().invoke(app, ["share", str(SAMPLE), "--format", "json"])
    assert result.exit_code == 0
    assert "sharing-near-ply" in {f["code"] for f in json.loads(result.stdout)["findings"]}
    assert "WARNING" in result.stderr


def test_an_unknown_option_is_exit_2(tmp_path):
    assert run(tmp_path, "--bolts", "loose").exit_code == 2
    assert run(tmp_path, "--format", "xml").exit_code == 2
