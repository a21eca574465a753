"""The first answer to a change, without the shares of the plies, and what follows it."""

from __future__ import annotations

import gc
import os
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_beside import Beside, all_of
from desk_server import Served, served

from girderply.desk.amend import Edit
from girderply.desk.folder import Folder
from girderply.desk.on_desk import OnDesk
from girderply.desk.state import state_of
from girderply.desk.tasks import schedule_of
from girderply.jobfile import new_job, parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import ENGLISH, Voice

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
G1 = "/girder/g1.toml"


@pytest.fixture
def girder(tmp_path) -> OnDesk:
    shutil.copy(SAMPLES / "two-ply-howe.toml", tmp_path / "g1.toml")
    folder = Folder.at(tmp_path)
    return OnDesk(folder, "g1.toml", folder.read("g1.toml"))


@pytest.fixture
def desk(tmp_path) -> Iterator[Served]:
    shutil.copy(SAMPLES / "two-ply-howe.toml", tmp_path / "g1.toml")
    with served(tmp_path) as found:
        yield found


def set_(girder: OnDesk, path: str, value: object) -> None:
    parts = tuple(int(p) if p.isdecimal() else p for p in path.split("."))
    girder.amend([Edit(parts, "set", value)])


def fresh(girder: OnDesk) -> dict:
    """What the commands say of the file."""
    return to_contract(build_schedule(parse_job(girder.text, folder=str(girder.folder.root))))


def waited(desk: Served, seconds: float = 120.0) -> dict:
    """The whole state, asked for as the page does."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        found = desk.get(f"{G1}/whole").data
        if "data" in found:
            return found
        time.sleep(0.1)
    raise AssertionError("the shares never came")


def test_the_first_answer_says_what_is_missing_and_is_never_good(girder):
    state = state_of(ENGLISH, girder)
    assert (state["whole"], state["verdict"]["state"]) == (False, "waiting")
    assert "still being worked out" in state["pending"]
    assert state["scene"]["fasteners"]["id"], "the drawing is there at once"
    share = next(f for f in state["figures"] if f["key"] == "share")
    assert share["value"] == "being worked out …"
    assert girder.first().schedule.failed, "whoever reads it without the page is told no too"
    voice = Voice("fr")
    assert "en cours de calcul" in state_of(voice, girder)["pending"]
    state = state_of(ENGLISH, all_of(girder))
    assert (state["whole"], state["pending"], state["verdict"]["state"]) == (True, "", "good")


def test_what_is_refused_without_the_shares_is_refused_at_once(girder):
    set_(girder, "loads.0.permanent", "60 kN")
    state = state_of(ENGLISH, girder)
    assert (state["whole"], state["verdict"]["state"]) == (False, "refused")


def test_an_old_answer_never_overwrites_a_new_one(girder):
    beside = Beside()
    old = girder.text
    assert girder.worked_out(ENGLISH, beside) is False
    set_(girder, "loads.0.permanent", "60 kN")
    new, turn = girder.text, girder.turn
    assert girder.worked_out(ENGLISH, beside) is False
    beside.done(old)
    assert girder.worked_out(ENGLISH, beside) is False, "what came was asked for the text before"
    state = state_of(ENGLISH, girder)
    assert (state["turn"], state["text"], state["whole"]) == (turn, new, False)
    assert state["verdict"]["state"] == "refused"
    beside.done(new)
    assert girder.worked_out(ENGLISH, beside)
    assert state_of(ENGLISH, girder)["verdict"]["state"] == "refused"
    girder.back()
    assert girder.worked_out(ENGLISH, beside), "what came late is right for its own text"
    assert state_of(ENGLISH, girder)["verdict"]["state"] == "good"


@pytest.mark.parametrize("asked", ['design_by = "computed shares"', "share_limit = 0.05"])
def test_fasteners_that_hang_on_the_shares_are_said_to_be_so(girder, asked):
    text = girder.text.replace("[fastening]\n", f"[fastening]\n{asked}\n", 1)
    assert text != girder.text
    girder.write(text, "text")
    state = state_of(ENGLISH, girder)
    assert (state["whole"], state["verdict"]["state"]) == (False, "waiting")
    assert "may still change" in state["pending"]
    state, contract = state_of(ENGLISH, all_of(girder)), fresh(girder)
    assert (state["verdict"]["state"] == "good") == contract["for_assembly"]
    drawn = state["scene"]["fasteners"]
    assert drawn["id"] == [f["id"] for f in contract["fasteners"]]
    assert girder.decided().schedule.content_hash == contract["content_hash"]


@pytest.mark.parametrize(
    ("path", "value"),
    [("job.title", "Another"), ("job.language", "fr"), ("designer", {"plies": 3})],
)
def test_what_moves_no_fastener_is_answered_whole_at_once(girder, path, value):
    all_of(girder)
    set_(girder, path, value)
    state, contract = state_of(ENGLISH, girder), fresh(girder)
    assert state["whole"], "the layout and the shares are those of before"
    assert girder.decided().schedule.content_hash == contract["content_hash"]
    assert len(state["findings"]) == len(contract["findings"])
    assert (state["verdict"]["state"] == "good") == contract["for_assembly"]


@pytest.mark.parametrize(
    ("path", "value"),
    [("job.units", "imperial"), ("girder.plies", 3), ("basis.service_class", 2),
     ("fastening.nail", "3.1 x 90"), ("loads.0.plies_reached", 2)],
)  # fmt: skip
def test_whatever_else_changes_is_worked_out_anew(girder, path, value):
    all_of(girder)
    set_(girder, path, value)
    assert girder.first().schedule is None or not state_of(ENGLISH, girder)["whole"]


def test_papers_are_never_made_of_a_first_answer(girder):
    state_of(ENGLISH, girder)
    schedule = schedule_of(girder.text, str(girder.folder.root))
    assert schedule.content_hash
    assert schedule.shares is not None
    assert girder.decided().whole


def test_the_page_gets_the_rest_by_asking_again(desk):
    edits = [{"path": ["loads", 0, "permanent"], "value": "1.1 kN"}]
    state = desk.post(f"{G1}/change", {"do": "edits", "edits": edits}).data
    assert (state["whole"], state["verdict"]["state"]) == (False, "waiting")
    rest = waited(desk)
    assert (rest["turn"], rest["version"]) == (state["turn"], state["version"])
    assert rest["verdict"]["state"] == "good"
    assert rest["scene"] == state["scene"]
    worker = next(iter(desk.desk.springs._pool._processes))
    desk.post(f"{G1}/change", {"do": "edits", "edits": [{**edits[0], "value": "1.2 kN"}]})
    os.kill(worker, getattr(signal, "SIGKILL", signal.SIGTERM))
    rest = waited(desk)
    assert rest["verdict"]["state"] == "good", "with the process beside the pages ended"
    assert rest["text"] == (desk.folder / "g1.toml").read_text()


def test_memory_stays_as_it_is_however_much_is_changed(tmp_path):
    """Objects that the collector knows: a state that is kept by mistake is thousands of them."""
    (tmp_path / "g1.toml").write_text(new_job("king post", "6 m", plies=2))
    folder = Folder.at(tmp_path)
    girder = OnDesk(folder, "g1.toml", folder.read("g1.toml"))

    def changed(steps: range) -> int:
        for n in steps:
            set_(girder, "girder.quantity", 2 + n)
            state_of(ENGLISH, girder)
        all_of(girder)
        gc.collect()
        return len(gc.get_objects())

    counts = [changed(range(n, n + 10)) for n in range(0, 60, 10)]
    assert max(counts[3:]) <= 1.01 * max(counts[1:3]), counts


@pytest.mark.skipif(os.name != "posix", reason="a signal of the terminal")
def test_ctrl_c_ends_it_at_once_while_shares_are_being_worked_out(tmp_path):
    text = (SAMPLES / "six-ply.toml").read_text()
    text = text.replace("[fastening]\n", "[fastening]\nshare_limit = 0.1\n", 1)  # takes long
    (tmp_path / "g1.toml").write_text(text)
    run = subprocess.Popen(
        [sys.executable, "-m", "girderply", "desk", str(tmp_path), "--no-open"],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, start_new_session=True,
    )  # fmt: skip
    try:
        line = next(line for line in run.stdout if "http" in line)
        address = next(w for w in line.split() if w.startswith("http"))
        browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        browser.open(address).read()
        home = address.partition("/enter")[0]
        assert b'"data"' not in browser.open(f"{home}{G1}/whole").read()
        os.killpg(run.pid, signal.SIGINT)  # the terminal sends it to every process
        begun = time.monotonic()
        said, _ = run.communicate(timeout=60)  # until nobody holds the line: all of it has ended
        took = time.monotonic() - begun
    finally:
        if run.poll() is None:
            os.killpg(run.pid, signal.SIGKILL)
    assert "Traceback" not in said
    assert run.returncode == 130
    assert took < 5.0, "the girder alone takes longer"
