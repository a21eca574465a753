"""A new girder from a drawing, and a shape given member by member, through a served desk."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_server import Served, served
from drawn_girders import drawn
from made_schedules import sample

from girderply.tracing.file import trace_file
from girderply.wording import english, text

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
G1 = "/girder/g1.toml"


@pytest.fixture
def desk(tmp_path) -> Iterator[Served]:
    folder = tmp_path / "jobs"
    folder.mkdir()
    shutil.copy(SAMPLES / "two-ply-howe.toml", folder / "g1.toml")
    with served(folder) as found:
        yield found


@pytest.fixture
def drawing(tmp_path) -> Path:
    path = tmp_path / "G7 Ö.dxf"
    drawn(path, sample("two-ply-howe").girder)
    return path


def send(desk: Served, data: bytes, query: str):
    head = {"Content-Type": "application/octet-stream"}
    return desk.ask("POST", f"/trace?{query}", head, data)


def test_a_drawing_is_shown_first_and_kept_when_it_is_wanted(desk, drawing):
    data = drawing.read_bytes()
    shown = send(desk, data, "file=G7%20%C3%96.dxf&plies=3").data
    made = trace_file(drawing)
    assert [english(g.about) for g in made.guesses if g.key != "girder.plies"] == [
        about for about, _, _ in shown["guesses"]
    ]
    assert len(shown["scene"]["members"]) == len(sample("two-ply-howe").girder.members)
    assert "job" not in shown
    assert sorted(p.name for p in desk.folder.iterdir()) == ["g1.toml"]
    kept = send(desk, data, "file=G7%20%C3%96.dxf&plies=3&mark=G7&keep=1").data
    assert kept["name"] == "G7.toml"
    state = desk.get("/girder/G7.toml/state").data
    assert state["data"]["girder"]["plies"] == 3
    assert state["assumed"], "what was guessed stands in the ledger"
    assert not any(a["confirmed"] for a in state["assumed"])


def test_what_was_guessed_is_told_in_the_language_of_the_page(desk, drawing):
    """Every guess and note of a reading, with no word of English on a French page."""
    head = {"Content-Type": "application/octet-stream", "Accept-Language": "fr-FR"}
    answer = desk.ask("POST", "/trace?file=a.dxf", head, drawing.read_bytes()).data
    guesses = trace_file(drawing).guesses
    assert len(answer["guesses"]) == len(guesses)
    for row, guess in zip(answer["guesses"], guesses, strict=True):
        assert row[0] == text(guess.about, "fr")
        assert row[2] == text(guess.why, "fr") != english(guess.why)
    assert "membrure supérieure" in str(answer["guesses"])
    assert "top chord" not in str(answer["guesses"])


def test_what_is_no_drawing_is_refused_in_words_and_nothing_is_kept(desk):
    answer = send(desk, b"not a drawing", "file=x.dxf&keep=1").data
    assert answer["findings"]
    assert "name" not in answer
    assert send(desk, b"MZ", "file=x.exe&keep=1").status == 400
    assert send(desk, b"x", "file=..%2F..%2Fx.dxf&keep=1").data["findings"]
    wrong = send(desk, b"x", "file=x.dxf&plies=many")
    assert (wrong.status, "plies" in wrong.data["fault"]) == (400, True)
    assert sorted(p.name for p in desk.folder.iterdir()) == ["g1.toml"]


def test_a_shape_given_member_by_member_is_the_same_girder_and_can_be_taken_back(desk):
    before = desk.get(f"{G1}/state").data
    after = desk.post(f"{G1}/change", {"do": "members"}).data
    assert "shape" not in after["data"]["girder"]
    assert [m["id"] for m in after["data"]["girder"]["members"]] == [
        m["id"] for m in before["scene"]["members"]
    ]
    assert after["scene"]["fasteners"] == before["scene"]["fasteners"]
    again = desk.post(f"{G1}/change", {"do": "members"})
    assert again.status == 422
    assert "already" in again.data["fault"]
    assert desk.post(f"{G1}/change", {"do": "back"}).data["text"] == before["text"]
