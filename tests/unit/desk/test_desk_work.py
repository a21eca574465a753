"""Papers, other fasteners, issue and records through the addresses of a served desk."""

from __future__ import annotations

import json
import shutil
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_server import Served, served
from inspection_records import record_data

from girderply.jobfile import read_job
from girderply.papers.sheets import sheet_names
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.compare import compare, swapped

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
JOB = read_job(SAMPLES / "two-ply-howe.toml")
G1 = "/girder/g1.toml"


@pytest.fixture
def desk(tmp_path) -> Iterator[Served]:
    folder = tmp_path / "jobs"
    folder.mkdir()
    shutil.copy(SAMPLES / "two-ply-howe.toml", folder / "g1.toml")
    with served(folder) as found:
        yield found


def waited(desk: Served, target: str, done) -> dict:
    until = time.monotonic() + 120
    while time.monotonic() < until:
        found = desk.get(target).data
        if done(found):
            return found
        time.sleep(0.2)
    raise AssertionError(f"{target} took too long")


def test_papers_are_those_of_the_pack_and_print_as_pages(desk):
    listed = desk.get(f"{G1}/papers").data
    assert [s["name"] for s in listed["sheets"]] == list(sheet_names(build_schedule(JOB)))
    target = f"{G1}/pages/inspection"
    state = waited(desk, f"{target}?density=50", lambda d: d["pages"] or "fault" in d)
    assert state["pages"] >= 1
    picture = desk.get(f"{target}/0?density={state['density']}")
    assert picture.headers["content-type"] == "image/png"
    assert picture.body.startswith(b"\x89PNG")
    assert desk.get(f"{target}/0?density=9999").status == 422
    page = desk.get(f"{G1}/file/tick-off.html")
    assert page.headers["content-disposition"].startswith("attachment")
    assert desk.get(f"{G1}/file/..%2Fg1.toml").status in (400, 404)


def test_an_old_paper_is_never_given_for_a_new_state(desk):
    first = desk.get(f"{G1}/pages/delivery?density=50").data["version"]
    body = {"do": "edits", "edits": [{"path": ["girder", "quantity"], "value": 7}]}
    desk.post(f"{G1}/change", body)
    state = waited(desk, f"{G1}/pages/delivery?density=50", lambda d: d["pages"])
    assert state["version"] != first
    assert len(desk.desk.workers._tasks["g1.toml"]) == 1


def test_other_fasteners_are_ranked_drawn_and_adopted(desk):
    (desk.folder / "firm.toml").write_text(
        'name = "Demo firm"\nnails = ["3.1 x 90", "2.8 x 65"]\nbolts = ["M16"]\n'
    )
    found = waited(desk, f"{G1}/others", lambda d: d["done"] == d["of"])
    assert found["of"] == 3
    assert {r["id"] for r in (*found["rows"], *found["without"])} == {
        "nail:3.1 x 90", "nail:2.8 x 65", "bolt:M16",
    }  # fmt: skip
    good = [r["good"] for r in found["rows"]]
    assert good == sorted(good, reverse=True)
    before = build_schedule(JOB)
    after = build_schedule(swapped(JOB, nail="3.1 x 90"))
    row = next(r for r in found["rows"] if r["id"] == "nail:3.1 x 90")
    told = compare(before, after)
    assert row["nails"] + row["bolts"] == sum(told.after.specs.values())
    assert (row["new"], row["gone"]) == (
        sum(c.added for c in told.changes),
        sum(c.removed for c in told.changes),
    )
    drawn = desk.get(f"{G1}/other?id=nail%3A3.1%20x%2090").data["scene"]["fasteners"]
    assert drawn["id"] == after.fasteners.id.tolist()
    state = desk.post(f"{G1}/adopt", {"id": "nail:3.1 x 90"}).data
    assert 'nail = "3.1 x 90"' in state["text"]
    assert state["scene"]["fasteners"]["id"] == after.fasteners.id.tolist()


def test_a_screw_in_stock_is_laid_out_and_declared_where_it_is_taken(desk):
    screwed = tomllib.loads((SAMPLES / "two-ply-screwed.toml").read_text())
    table = screwed["fastening"]["screws"][0]
    lines = [f"{k} = {json.dumps(v)}" for k, v in table.items()]
    text = ['name = "Demo firm"', 'paper = "A4"', 'saw = ["holes"]', 'nails = ["3.1 x 90"]',
            'bolts = ["M16"]', "[[screws]]", *lines]  # fmt: skip
    (desk.folder / "firm.toml").write_text("\n".join(text))
    found = waited(desk, f"{G1}/others", lambda d: d["done"] == d["of"])
    key = f"screw:{table['key']}"
    row = next(r for r in (*found["rows"], *found["without"]) if r["id"] == key)
    assert row["minutes"] > 0
    assert [r["minutes"] for r in found["rows"] if r["good"]] == sorted(
        r["minutes"] for r in found["rows"] if r["good"]
    )
    assert "screws" not in desk.get(f"{G1}/state").data["data"]["fastening"]
    state = desk.post(f"{G1}/adopt", {"id": key}).data
    assert state["data"]["fastening"]["screws"] == [table]
    assert state["data"]["fastening"]["screw"] == table["key"]
    assert set(state["scene"]["fasteners"]["kind"]) >= {"screw"}
    started = desk.post("/new", {"kind": "fink", "span": "8 m", "mark": "F", "keep": True}).data
    begun = (desk.folder / started["name"]).read_text()
    assert 'paper = "A4"' in begun
    assert 'saw = ["holes"]' in begun


def test_a_firm_file_is_no_girder_and_its_faults_are_said(desk):
    (desk.folder / "firm.toml").write_text('name = "Demo firm"\nlogoo = 1\n')
    assert desk.desk.folder.names() == ("g1.toml",)
    answer = desk.get(f"{G1}/others")
    assert answer.status == 422
    assert "logoo" in answer.data["fault"]


def test_a_firm_s_mark_goes_into_its_new_girders_and_must_be_there(desk):
    (desk.folder / "firm.toml").write_text('name = "Demo firm"\nlogo = "mark.svg"\n')
    answer = desk.get(f"{G1}/others")
    assert (answer.status, "mark.svg" in answer.data["fault"]) == (422, True)
    mark = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 2"><path d="M0 0h4v2z"/></svg>'
    (desk.folder / "mark.svg").write_text(mark)
    started = desk.post("/new", {"kind": "fink", "span": "8 m", "mark": "F", "keep": True}).data
    assert 'logo = "mark.svg"' in (desk.folder / started["name"]).read_text()
    pages = waited(
        desk, f"/girder/{started['name']}/pages/delivery?density=30", lambda d: d["pages"]
    )
    assert pages["pages"]


def test_a_girder_that_does_not_hold_or_has_assumptions_does_not_go_out(desk):
    text = (SAMPLES / "refused-shallow.toml").read_text()
    (desk.folder / "bad.toml").write_text(text)
    answer = desk.post("/girder/bad.toml/issue", {})
    assert answer.status == 422
    assert not (desk.folder / "issued").exists()
    started = desk.post("/new", {"kind": "fink", "span": "8 m", "mark": "F", "keep": True}).data
    answer = desk.post(f"/girder/{started['name']}/issue", {})
    assert (answer.status, "confirmed" in answer.data["fault"]) == (422, True)


def test_a_record_is_judged_kept_and_follows_the_one_before(desk):
    schedule = build_schedule(JOB)
    record = record_data(schedule)
    answer = desk.ask(
        "POST",
        f"{G1}/record?file=visit.json",
        {"Content-Type": "application/octet-stream"},
        json.dumps(record).encode(),
    )
    assert answer.status == 200, answer.text
    piece = answer.data["pieces"][0]
    assert piece["records"] == 1
    assert piece["verdict"]
    kept = list((desk.folder / "records" / "g1").rglob("*.json"))
    assert [json.loads(p.read_text()) for p in kept] == [record]
    assert desk.get(f"{G1}/inspections").data == answer.data
    paper = desk.get(f"{G1}/result/{piece['piece']}/pdf")
    assert paper.body.startswith(b"%PDF")


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b'{"piece": "../../x"}', b"\xff" * 50])
def test_what_is_no_record_is_refused_and_not_kept(desk, data):
    heads = {"Content-Type": "application/octet-stream"}
    for name in ("r.json", "r.csv", "r.exe", "../r.json"):
        answer = desk.ask("POST", f"{G1}/record?file={name}", heads, data)
        assert answer.status == 422, name
        assert answer.data["fault"]
    assert list(desk.folder.rglob("*.json")) == []
    assert sorted(p.name for p in desk.folder.parent.iterdir()) == ["jobs"]


def test_folders_of_the_desk_that_lead_elsewhere_are_refused(desk, tmp_path):
    away = tmp_path / "away"
    away.mkdir()
    (desk.folder / "records").symlink_to(away)
    (desk.folder / "issued").symlink_to(away)
    heads = {"Content-Type": "application/octet-stream"}
    record = json.dumps(record_data(build_schedule(JOB))).encode()
    assert desk.ask("POST", f"{G1}/record?file=a.json", heads, record).status == 422
    assert desk.post(f"{G1}/issue", {}).status == 422
    assert list(away.iterdir()) == []


def test_a_plate_and_a_load_come_back_as_a_new_state(desk):
    plate = {"joint": "J9", "width": "180", "height": "120", "turned": "TC1", "both": True}
    state = desk.post(f"{G1}/plate", plate).data
    assert [p["joint"] for p in state["data"]["girder"]["plates"]] == ["J9", "J11"]
    load = {"text": "at 4800, back, 2 kN", "chord": "BC1", "keep": True}
    state = desk.post(f"{G1}/loads", load).data
    assert state["data"]["loads"][1]["at"] == "4800 mm"
    assert desk.post(f"{G1}/loads", {"text": "nonsense", "keep": True}).data["faults"]
    assert len(desk.get(f"{G1}/state").data["data"]["loads"]) == 2


def test_every_kind_of_change_can_be_taken_back_and_done_again(desk):
    """Byte for byte: a field, the whole text, a plate, loads, other fasteners, single members."""
    text = desk.get(f"{G1}/state").data["text"]
    field = {"path": ["girder", "quantity"], "value": 7}
    plate = {"joint": "J9", "width": "180", "height": "120", "turned": "TC1", "dx": "0", "dy": "0"}
    changes = [
        ("change", {"do": "edits", "edits": [field]}),
        ("change", {"do": "text", "text": text + "# one line more\n"}),
        ("plate", plate | {"both": True}),
        ("loads", {"text": "at 4200, back, 2 kN + 1 kN", "keep": True}),
        ("adopt", {"id": "nail:3.1 x 90"}),
        ("change", {"do": "members"}),
    ]
    texts = [text]
    for address, body in changes:
        texts.append(desk.post(f"{G1}/{address}", body).data["text"])
    assert len(set(texts)) == len(texts)
    path = desk.folder / "g1.toml"
    for way, states in (("back", texts[-2::-1]), ("forth", texts[1:])):
        for state in states:
            assert desk.post(f"{G1}/change", {"do": way}).data["text"] == state
            assert path.read_bytes().decode() == state
