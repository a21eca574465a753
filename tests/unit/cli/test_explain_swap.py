"""girderply explain and swap, as a person runs them."""

import json

from jobs_in_text import Ask, job_text
from typer.testing import CliRunner

from girderply.cli.app import app

LOAD = '[[loads]]\nid = "L"\nchord = "BC1"\nface = "front"\nat = "3 m"\ndesign = "2 kN"\n'


def run(tmp_path, *args, loads=LOAD):
    path = tmp_path / "job.toml"
    path.write_text(job_text(Ask(loads=loads)), encoding="utf-8")
    return CliRunner().invoke(app, [args[0], str(path), *args[1:]])


def test_explain_lists_every_check_the_hardest_first(tmp_path):
    result = run(tmp_path, "explain")
    assert result.exit_code == 0
    rows = result.stdout.splitlines()
    assert rows[0].startswith("check")
    assert any(row.startswith("L.i1.") for row in rows[1:])


def test_explain_can_be_followed_by_hand(tmp_path):
    """Half of 2 kN must pass; the demand's own line and the sum must be there."""
    ids = [r.split()[0] for r in run(tmp_path, "explain").stdout.splitlines()[1:]]
    first = next(i for i in ids if ".i1." in i)
    result = run(tmp_path, "explain", first)
    assert result.exit_code == 0
    assert "S_1 = |(2000) - 1/2 x 2000| = 1000 N" in result.stdout
    assert "R_1 = " in result.stdout
    assert result.stdout.splitlines()[-1].startswith("1.00\u00a0kN <= ")


def test_explain_shows_the_sweep(tmp_path):
    """One load: its own window is the tightest, and as many serve it as are named."""
    ids = [r.split()[0] for r in run(tmp_path, "explain").stdout.splitlines()[1:]]
    lines = run(tmp_path, "explain", next(i for i in ids if ".i1." in i)).stdout.splitlines()
    at = lines.index("sweep:")
    assert lines[at + 1].startswith("  tightest from ")
    assert "1.00\u00a0kN needed" in lines[at + 1]
    assert lines[at + 2] == "  loads that must be served inside: L"
    count, _, names = lines[at + 3].removeprefix("  served by ").partition(": ")
    assert len(set(names.split(", "))) == int(count) > 1


def test_explain_names_the_nearest_check(tmp_path):
    result = run(tmp_path, "explain", "L.i1.X")
    assert result.exit_code != 0
    assert "nearest: L.i1." in str(result.exception)


def test_explain_says_when_there_is_nothing_to_check(tmp_path):
    result = run(tmp_path, "explain", loads="")
    assert result.exit_code == 0
    assert "nothing is checked" in result.stdout


def test_swap_side_by_side(tmp_path):
    result = run(tmp_path, "swap", "--nail", "3.4 x 90", "--format", "json")
    assert result.exit_code == 0
    data = json.loads(result.stdout)
    assert data["after"]["specs"]["3.4 x 90"] > 0
    assert "4.0 x 100" not in data["after"]["specs"]


def test_swap_exits_1_with_the_reason(tmp_path):
    result = run(tmp_path, "swap", "--nail", "3.1 x 40")
    assert result.exit_code == 1
    assert "why not: nail 3.1 x 40" in result.stdout


def test_swap_refuses_a_named_nail_that_does_not_suit_and_says_which_would(tmp_path):
    """80 - 2 x 38 = 4 mm come out, 5 are the least that is clenched; 75 stay inside."""
    result = run(tmp_path, "swap", "--nail", "3.1 x 80")
    assert result.exit_code == 1
    assert "3.1 x 75" not in result.stdout
    assert "why not: nail 3.1 x 80 comes out 4" in result.stdout.replace("\u00a0", " ")
    assert "nails 3.1 x 75 instead of 3.1 x 80" in result.stderr


def test_swap_needs_something_to_swap(tmp_path):
    assert run(tmp_path, "swap").exit_code == 2
