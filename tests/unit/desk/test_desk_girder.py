"""A girder on the desk: changes, the way back and forth, and other hands on the same file."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from desk_beside import all_of

from girderply.desk.amend import Edit, amended
from girderply.desk.folder import Folder, NotOnDeskError, OpenedElsewhereError
from girderply.desk.on_desk import OnDesk, OtherValueError
from girderply.desk.state import state_of
from girderply.jobfile import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import ENGLISH

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "sample_jobs").glob("*.toml"))
SPAN = ("girder", "shape", "span")


@pytest.fixture
def girder(tmp_path) -> OnDesk:
    shutil.copy(next(p for p in SAMPLES if p.stem == "two-ply-howe"), tmp_path / "g1.toml")
    folder = Folder.at(tmp_path)
    return OnDesk(folder, "g1.toml", folder.read("g1.toml"))


def on_disk(girder: OnDesk) -> str:
    return (girder.folder.root / girder.name).read_text()


def set_(girder: OnDesk, path: tuple[str | int, ...], value: object, was: object = ...) -> None:
    girder.amend([Edit(path, "set", value)], [was])


def test_every_change_is_in_the_file_at_once_and_nothing_else_is_left(girder):
    set_(girder, SPAN, "9.8 m")
    assert 'span = "9.8 m"' in on_disk(girder)
    assert [p.name for p in girder.folder.root.iterdir()] == ["g1.toml"]


def test_back_and_forth_lead_through_every_state(girder):
    texts = [girder.text]
    for n, span in enumerate(("9.7 m", "9.8 m")):
        set_(girder, SPAN if n == 0 else ("girder", "plies"), span if n == 0 else 3)
        texts.append(girder.text)
    assert [girder.back(), girder.text, on_disk(girder)] == [True, texts[1], texts[1]]
    assert [girder.back(), girder.text] == [True, texts[0]]
    assert girder.back() is False
    assert [girder.forth(), girder.forth(), girder.text] == [True, True, texts[2]]
    assert girder.forth() is False
    girder.back()
    set_(girder, ("girder", "quantity"), 5)
    assert girder.forth() is False, "a new change leaves nothing to do again"


def test_typing_on_in_one_field_is_one_step(girder):
    first = girder.text
    for span in ("9", "9.8", "9.85 m"):
        set_(girder, SPAN, span)
    girder.back()
    assert girder.text == first


def test_turns_only_go_up_so_that_old_answers_are_known(girder):
    seen = [girder.turn]
    for change in (lambda: set_(girder, SPAN, "9.9 m"), girder.back, girder.forth):
        change()
        seen.append(girder.turn)
    assert seen == sorted(set(seen))


def test_a_change_of_another_program_is_noticed_and_can_be_taken_back(girder):
    before = girder.text
    other = before.replace('span = "9.6 m"', 'span = "10.2 m"')
    (girder.folder.root / girder.name).write_text(other)
    assert girder.look() is True
    assert (girder.text, girder.past[-1].what) == (other, "elsewhere")
    assert girder.look() is False
    girder.back()
    assert on_disk(girder) == before


def test_changes_in_different_places_are_merged(girder):
    other = girder.text.replace('pitch = "22.5 deg"', 'pitch = "25 deg"')
    (girder.folder.root / girder.name).write_text(other)
    set_(girder, SPAN, "9.8 m", was="9.6 m")
    assert 'pitch = "25 deg"' in on_disk(girder)
    assert 'span = "9.8 m"' in on_disk(girder)


def test_changes_of_one_place_are_asked_about(girder):
    other = girder.text.replace('span = "9.6 m"', 'span = "10.2 m"')
    (girder.folder.root / girder.name).write_text(other)
    with pytest.raises(OtherValueError) as raised:
        set_(girder, SPAN, "9.8 m", was="9.6 m")
    assert (raised.value.path, raised.value.value) == (list(SPAN), "10.2 m")
    assert on_disk(girder) == other


def test_a_text_typed_over_an_older_one_is_asked_about(girder):
    base = girder.version
    (girder.folder.root / girder.name).write_text(girder.text + "# by another\n")
    with pytest.raises(OpenedElsewhereError) as raised:
        girder.write("# mine\n", "text", base)
    assert raised.value.now.endswith("# by another\n")
    girder.write("# mine\n", "text", girder.version)
    assert on_disk(girder) == "# mine\n"


def test_a_file_that_was_taken_away_is_said_and_nothing_is_written(girder):
    (girder.folder.root / girder.name).unlink()
    with pytest.raises(NotOnDeskError, match=r"g1\.toml"):
        set_(girder, SPAN, "9.8 m")
    assert list(girder.folder.root.iterdir()) == []


def test_what_is_wrong_is_written_too_and_said_as_the_command_says_it(girder):
    set_(girder, SPAN, "9.8 furlongs")
    state = state_of(ENGLISH, girder)
    assert state["verdict"]["state"] == "unread"
    assert state["scene"] is None
    assert [f["path"] for f in state["findings"]] == [list(SPAN)]
    assert "furlongs" in state["findings"][0]["message"]
    girder.back()
    assert state_of(ENGLISH, all_of(girder))["verdict"]["state"] == "good"


def test_memory_of_earlier_states_has_an_end(girder, monkeypatch):
    monkeypatch.setattr("girderply.desk.on_desk.MOST_STEPS", 7)
    for n in range(12):
        girder.write(f"# {n}\n", f"change {n}")
    assert [s.text for s in girder.past] == [f"# {n}\n" for n in range(4, 11)]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_the_desk_says_what_the_commands_say(tmp_path, path):
    """One schedule for both: same hash, verdict, findings, fasteners and places.

    What is told first, without the shares of the plies, is never good, refuses nothing that holds,
    and holds no finding, no fastener and no figure of a check that is not there, or beyond, later.
    """
    shutil.copy(path, tmp_path / path.name)
    folder = Folder.at(tmp_path)
    girder = OnDesk(folder, path.name, folder.read(path.name))
    first, soon = state_of(ENGLISH, girder), girder.first()
    state, decided = state_of(ENGLISH, all_of(girder)), girder.decided()
    contract = to_contract(build_schedule(read_job(path)))
    assert decided.schedule.content_hash == contract["content_hash"]
    assert (state["verdict"]["state"] == "good") == contract["for_assembly"]
    assert [f["message"] for f in state["findings"]] == [f["message"] for f in contract["findings"]]
    assert not first["whole"]
    assert first["verdict"]["state"] in ("waiting", "refused")
    assert first["verdict"]["state"] == "waiting" or not contract["for_assembly"]
    found = {(f.code, f.where) for f in decided.findings}
    assert {(f.code, f.where) for f in soon.findings} - {("springs-pending", "")} <= found
    used = {c.id: c.utilisation for c in decided.schedule.checks}
    assert [c.id for c in soon.schedule.checks if c.utilisation > used[c.id] * 1.000001] == []
    assert first["scene"] == state["scene"]
    drawn = state["scene"]["fasteners"]
    assert drawn["id"] == [f["id"] for f in contract["fasteners"]]
    assert drawn["x"] == pytest.approx([f["x_mm"] for f in contract["fasteners"]], abs=0.0501)
    assert drawn["stage"] == [f["stage"] for f in contract["fasteners"]]
    assert [h["id"] for h in state["scene"]["loads"]] == [h["id"] for h in contract["loads"]]
    assert [m["id"] for m in state["scene"]["members"]] == [m["id"] for m in contract["members"]]


def test_a_finding_leads_to_its_field_and_to_its_member(tmp_path):
    path = next(p for p in SAMPLES if p.stem == "truncated-nodes")
    text = amended(path.read_text(), [Edit(("girder", "plates", 2, "x"), "set", 9000)])
    (tmp_path / "g.toml").write_text(text)
    folder = Folder.at(tmp_path)
    state = state_of(ENGLISH, OnDesk(folder, "g.toml", text))
    found = next(f for f in state["findings"] if f["where"].startswith("girder.plates[3]"))
    assert found["path"] == ["girder", "plates", 2]
    assert found["lit"] == ["joint:C"]
