"""What an inspection found was to be added, on the tablet: seen, ticked, exported, accepted."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from browser import PORTRAIT, Tablet, tablet
from command import girderply
from inspection_records import SAMPLES, ids, record_data, sample
from playwright.sync_api import Browser

NAME = "two-ply-howe"
JOB = SAMPLES / f"{NAME}.toml"
HOWE = sample(NAME)
WRONG_BOLT = ids(HOWE, "BC1", "bolt")[1]
LOST = dict.fromkeys(ids(HOWE, "BC1")[30:38], "missing") | {WRONG_BOLT: "wrong-size"}


@dataclass
class Visit:
    """The first record of piece 2, what is to be added after it, and the page of the next visit."""

    record: Path
    page: Path
    added: list[dict[str, object]]
    hash: str

    @property
    def names(self) -> list[str]:
        return [str(m["id"]) for m in self.added]


@pytest.fixture(scope="module")
def visit(tmp_path_factory) -> Visit:
    folder = tmp_path_factory.mktemp("visit")
    record, page, result = (folder / n for n in ("1.json", "page.html", "result.json"))
    record.write_text(json.dumps(record_data(HOWE, LOST, piece=2)), "utf-8")
    for form, out in (("html", page), ("json", result)):
        words = ["inspect", str(JOB), str(record), "--format", form, "--out", str(out)]
        ran = subprocess.run([sys.executable, "-m", "girderply", *words], check=False)
        assert ran.returncode == 1
    said = json.loads(result.read_text("utf-8"))
    assert said["verdict"] == "add"
    return Visit(record, page, said["make_good"], said["record_hash"])


@pytest.fixture
def t(browser: Browser, visit: Visit) -> Iterator[Tablet]:
    with tablet(browser, visit.page) as found:
        yield found
        assert found.said == []


def shown(t: Tablet) -> set[str]:
    return set(t.js("drawing.shown.map((i) => girder.M.id[i])"))


def sub_paths(t: Tablet, look: str) -> int:
    drawn: str = t.js("(k) => document.querySelector(`.marks .${k}`).getAttribute('d')", look)
    return drawn.count("Z")


def test_the_page_begins_at_what_is_to_be_added_and_knows_what_was_seen(t, visit):
    assert shown(t) == set(visit.names)
    assert t.marks() == dict.fromkeys(HOWE.fasteners.id.tolist(), "good") | LOST
    assert t.record()["inspector"] == t.record()["date"] == ""
    assert f"0 of {len(visit.added)}" in t.page.locator("#stages [aria-pressed=true]").inner_text()
    assert t.page.locator("#piece").count() == 0
    assert "Girder no. 2 of 2" in t.page.locator("#head").inner_text()


def test_they_have_a_sign_and_a_group_of_their_own(t, visit):
    faces = [m["face"] for m in visit.added]
    assert sub_paths(t, "add") == faces.count(t.js("view.v.face"))
    assert sub_paths(t, "add") + sub_paths(t, "add-far") == len(faces) == len(visit.added)
    t.press("#turn")
    assert sub_paths(t, "add") == faces.count(t.js("view.v.face"))
    t.press("#tab-counts")
    text = t.page.locator("#panel-body").inner_text()
    assert "Stage 3: to be added" in text
    t.press("#tab-help")
    for words in ("nail to be added", "bolt to be added", "added and good"):
        assert words in t.page.locator("#panel-body").inner_text()


def test_a_tap_says_what_where_and_instead_of_which(t, visit):
    new = next(m for m in visit.added if m["instead_of"] == WRONG_BOLT)
    t.member("BC1")
    t.tap_mark(str(new["id"]))
    said = t.page.locator("#panel-body .what").inner_text()
    assert "to be added" in said
    assert f"for {WRONG_BOLT}" in said
    assert "drill 13" in said
    assert sub_paths(t, "add-good") == 1


def tick_all(t: Tablet, visit: Visit) -> None:
    """Each of them by a finger, from the face that its head is on, member by member."""
    for face in ("front", "back"):
        if t.js("view.v.face") != face:
            t.press("#turn")
        for new in (m for m in visit.added if m["face"] == face):
            t.member(str(new["member"]))
            t.js("(id) => actions.zoomTo(girder.index.get(id))", new["id"])
            t.tap_mark(str(new["id"]))


def what_went_in(t: Tablet) -> None:
    """Name, date, and of the stage that was added the size on the box and the finish, by hand."""
    t.press("#tab-sign")
    for field, text in (("#inspector", "Ida Quay"), ("#date", "2026-11-26")):
        t.page.locator(field).fill(text)
        t.page.locator(field).blur()
    t.page.locator("#size-3").fill("3.1 x 75")
    t.page.locator("#size-3").blur()
    assert "No: required are 4 x 100" in t.page.locator("#panel").inner_text()
    t.page.locator("#size-3").fill("100 x 4")
    t.page.locator("#size-3").blur()
    assert "Yes: the size that is required" in t.page.locator("#panel").inner_text()
    t.page.locator("#finish-3").fill("zinc")
    t.page.locator("#finish-3").blur()
    t.page.get_by_role("button", name="as drawn").last.click()
    if t.page.locator("#clenched-3").count():
        due = t.js("DATA.stages.find((s) => s.number === 3).bent")
        t.page.locator("#clenched-3").fill(str(due))
        t.page.locator("#clenched-3").blur()


@pytest.mark.parametrize("size", [None, PORTRAIT], ids=["landscape", "portrait"])
def test_added_ticked_exported_is_accepted(browser, capsys, tmp_path, visit, size):
    with tablet(browser, visit.page, size) as t:
        tick_all(t, visit)
        assert {t.marks()[n] for n in visit.names} == {"good"}
        what_went_in(t)
        out = t.export(tmp_path / "2.json")
        assert "-after-" in t.page.locator("#message").inner_text()
    data = json.loads(out.read_text("utf-8"))
    assert (data["previous"], data["piece"]) == (visit.hash, 2)
    ran = girderply(capsys, "inspect", JOB, out, "--before", visit.record)
    assert (ran.code, ran.err) == (0, "")
    assert "\nACCEPTED\n" in ran.out


def test_one_that_was_not_added_is_no_pass(browser, capsys, tmp_path, visit):
    with tablet(browser, visit.page) as t:
        t.js("DATA.groups.forEach((g, k) => { if (g.added) actions.tickRow(k); })")
        t.js("(id) => state.mark([girder.index.get(id)], null, '')", visit.names[3])
        out = t.export(tmp_path / "2.json")
    ran = girderply(capsys, "inspect", JOB, out, "--before", visit.record)
    assert ran.code == 1
    assert "INSPECTION NOT FINISHED" in ran.out
    due = sum(m["kind"] == "nail" for m in visit.added)
    assert f"stage 3, BC1, nails: {due} required, {due - 1} found" in ran.out


def test_it_is_kept_under_the_record_that_it_goes_on_from(t, visit):
    t.member("BC1")
    t.tap_mark(visit.names[0])
    key = json.loads(t.js("Object.keys(localStorage)[0]"))
    assert key[-2:] == [HOWE.content_hash, visit.hash]
    t.page.reload()
    t.frames()
    assert t.marks()[visit.names[0]] == "good"
    t.press("#tab-record")
    t.press("#wipe")
    t.press("#wipe")
    assert visit.names[0] not in t.marks()
    assert len(t.marks()) == len(HOWE.fasteners)


def test_it_reads_its_own_record_and_refuses_one_that_does_not_follow(t, tmp_path):
    t.js("DATA.groups.forEach((g, k) => { if (g.added) actions.tickRow(k); })")
    out = t.export(tmp_path / "2.json")
    before = t.record()
    assert t.load(out).startswith("Record read")
    assert t.record() == before
    assert t.load(record_data(HOWE, piece=2, note="elsewhere")).startswith("Refused: this record")
    assert t.load(record_data(HOWE, piece=1)).startswith("Refused: girder no. 1")
    assert t.record() == before


def test_the_printed_list_has_what_is_to_be_added_with_its_place(t, visit):
    t.js("printing.fill()")
    paper = t.page.locator("#paper").text_content() or ""
    for name in visit.names:
        assert f"{name}: " in paper
    assert "for " + WRONG_BOLT in paper


def test_what_was_counted_is_not_open_and_says_so(browser, capsys, tmp_path):
    """A tick-off table filled in: 4 nails short in a chord. The next page knows the counts."""
    table = tmp_path / "1.csv"
    assert girderply(capsys, "pack", JOB, "--out", tmp_path / "pack").code == 0
    (blank,) = (tmp_path / "pack").rglob("tick-off.csv")
    rows = list(csv.DictReader(io.StringIO(blank.read_text("utf-8-sig"))))
    short = next(r for r in rows if r["member"] == "BC1" and r["kind"] == "nail")
    for row in rows:
        if row["member"]:
            row["found"] = str(int(row["due"]) - (4 if row is short else 0))
    with table.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    page = tmp_path / "page.html"
    ran = girderply(capsys, "inspect", JOB, table, "--format", "html", "--out", page)
    assert ran.code == 1
    with tablet(browser, page) as t:
        assert t.marks() == {}
        seen = t.js("tally.all()")
        assert seen["due"] - seen["open"] >= len(HOWE.fasteners)
        assert "4 counted as missing" in t.js("tally.status().tail")
        t.press("#tab-counts")
        t.js(f"actions.stage({short['stage']})")
        t.frames()
        text = t.page.locator("#panel-body").inner_text()
        assert "\u00d7 BC1" in text  # short by count is no full dot
        assert "\u25cf TC1" in text
        assert f"row {short['row']}: {short['found']} of {short['due']} counted" in text
