"""The record of a tablet, in a real Chromium: kept, lost, exported, read back, refused."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import Tablet, open_counting, tablet
from inspection_records import read_record
from made_girder import made_schedule
from playwright.sync_api import Browser

from girderply.jobfile.reader import read_job
from girderply.papers.tablet.page_file import render_html
from girderply.schedule.build_schedule import build_schedule

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
SCHEDULE = made_schedule(plies=3)
KEYS = [
    "schema", "job", "mark", "piece", "revision", "content_hash", "inspector", "date", "previous",
    "marks", "counts", "plies", "signatures", "note", "stages", "shifts", "decisions", "photos",
]  # fmt: skip
NASTY = "</script><script>window.hit=1</script><img src=x onerror='window.hit=2'>\u2028\"&<!--"
ABSENT = "Object.defineProperty(window, 'localStorage', {value: null});"
THROWS = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no'); }});"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('', 'QuotaExceededError'); };"


def sha(record: dict[str, object]) -> str:
    """sha256 of JSON with sorted keys, no spaces, UTF-8, by Python's own libraries."""
    text = json.dumps(record, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


@pytest.fixture(scope="module")
def file(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("page") / "tablet.html"
    path.write_text(render_html(SCHEDULE), "utf-8")
    return path


@pytest.fixture
def t(browser: Browser, file: Path) -> Iterator[Tablet]:
    with tablet(browser, file) as found:
        yield found
        assert found.said == []


@pytest.fixture(scope="module")
def shared(browser: Browser, file: Path) -> Iterator[Tablet]:
    """One page for tests that must not change anything in it; W2-N1 is good."""
    with tablet(browser, file) as found:
        found.member("W2")
        found.tap_mark("W2-N1")
        yield found


def say_much(t: Tablet) -> None:
    """Two marks with details, a signature, measures and notes."""
    t.member("W2")
    t.tap_mark("W2-N1")
    t.tap_mark("W2-N2")
    t.press("#state-misplaced")
    t.type_in("#mark-by", "7.5")
    t.type_in("#mark-note", "räumt — “x” 🪵")
    t.press("#tab-sign")
    t.type_in("#inspector", "Ida Quay")
    t.type_in("#date", "2026-03-05")
    t.type_in("#plies-gap", "1.5")
    t.press("#sign-1")
    t.type_in("#record-note", "wet\nand \\ cold")


EXPECTED_MARKS = [
    {"id": "W2-N1", "state": "good", "by_mm": None, "note": ""},
    {"id": "W2-N2", "state": "misplaced", "by_mm": 7.5, "note": "räumt — “x” 🪵"},
]


def test_the_record_has_exactly_the_agreed_form(t, tmp_path):
    say_much(t)
    data = json.loads(t.export(tmp_path / "r.json").read_text("utf-8"))
    assert list(data) == KEYS
    assert data == {
        "schema": "girderply.record/2",
        "job": "RH-204",
        "mark": "G1",
        "piece": 1,
        "revision": "B",
        "content_hash": SCHEDULE.content_hash,
        "inspector": "Ida Quay",
        "date": "2026-03-05",
        "previous": None,
        "marks": EXPECTED_MARKS,
        "counts": [],
        "plies": {"gap_mm": 1.5, "alignment_mm": None},
        "signatures": [{"stage": 1, "name": "Ida Quay", "date": "2026-03-05"}],
        "note": "wet\nand \\ cold",
        "stages": [],
        "shifts": [],
        "decisions": [],
        "photos": [],
    }


def test_reload_keeps_everything(t):
    say_much(t)
    before = t.record()
    t.page.reload()
    t.frames()
    assert t.record() == before
    assert "2 of" in t.page.locator("#status").inner_text()
    assert t.page.locator("#undo").is_disabled()


def test_a_note_that_was_being_typed_is_kept_when_the_page_is_left(t):
    t.member("W2")
    t.tap_mark("W2-N1")
    t.page.locator("#mark-note").fill("half a sent")
    t.page.reload()
    t.frames()
    assert t.record()["marks"][0]["note"] == "half a sent"


def test_what_is_kept_belongs_to_job_mark_piece_revision_and_content(t, tmp_path):
    t.member("W2")
    t.tap_mark("W2-N1")
    key = json.loads(t.js("Object.keys(localStorage)[0]"))
    assert key == ["girderply.record/2", "RH-204", "G1", 1, "B", SCHEDULE.content_hash]
    other = tmp_path / "other.html"
    other.write_text(render_html(made_schedule(plies=3, revision="C")), "utf-8")
    t.page.goto(other.as_uri())
    t.frames()
    assert t.marks() == {}


def test_two_girders_of_one_mark_are_kept_apart(t):
    t.member("W2")
    t.tap_mark("W2-N1")
    t.page.locator("#piece").select_option("2")
    assert t.marks() == {}
    t.member("W2")
    t.tap_mark("W2-N2")
    assert t.record()["piece"] == 2
    t.page.locator("#piece").select_option("1")
    assert t.marks() == {"W2-N1": "good"}


@pytest.mark.parametrize("script", [ABSENT, THROWS, FULL], ids=["absent", "throws", "full"])
def test_without_storage_it_works_and_says_so(browser, file, tmp_path, script):
    with tablet(browser, file, before=script) as t:
        t.member("W2")
        t.tap_mark("W2-N1")
        assert t.marks() == {"W2-N1": "good"}
        assert "export the record before you close" in t.page.locator("#banner").inner_text()
        t.press("#undo")
        t.press("#redo")
        data = json.loads(t.export(tmp_path / "r.json").read_text("utf-8"))
        assert [m["id"] for m in data["marks"]] == ["W2-N1"]
        assert t.said == []


def test_what_cannot_be_read_in_the_storage_is_left_alone(t):
    t.js("localStorage.setItem(store.key(1), '{broken')")
    t.page.reload()
    t.frames()
    assert "could not be read" in t.page.locator("#banner").inner_text()
    t.member("W2")
    t.tap_mark("W2-N1")
    assert t.marks() == {"W2-N1": "good"}
    assert t.js("localStorage.getItem(store.key(1))") == "{broken"


def test_export_and_import_give_the_same(t, browser, file, tmp_path):
    say_much(t)
    path = t.export(tmp_path / "r.json")
    with tablet(browser, file) as other:
        said = other.load(path)
        assert "2 marks" in said
        assert other.record() == json.loads(path.read_text("utf-8"))
        again = other.export(tmp_path / "again.json")
        assert again.read_bytes() == path.read_bytes()


@pytest.mark.parametrize("stem", ["three-ply-pratt", "two-ply-imperial"])
def test_the_inspection_reads_what_the_tablet_writes(browser, tmp_path, stem):
    """Two programs, one form: the other side checks every value and hashes for itself."""
    schedule = open_counting(build_schedule(read_job(SAMPLES / f"{stem}.toml")))
    page = tmp_path / "page.html"
    page.write_text(render_html(schedule), "utf-8")
    with tablet(browser, page) as t:
        name = schedule.girder.members[0].id
        t.member(name)
        t.press("#walk-on")
        first = t.js("girder.M.id[drawing.shown[0]]")
        t.tap_mark(first)
        t.press("#state-misplaced")
        t.type_in("#mark-by", "1/4" if stem.endswith("imperial") else "6.5")
        t.js("actions.tickRow(1)")
        t.press("#tab-sign")
        t.type_in("#inspector", "Ida Quay")
        t.type_in("#date", "2026-03-05")
        t.type_in("#plies-gap", "2")
        t.press("#sign-1")
        path = t.export(tmp_path / "r.json")
        found = read_record(path, schedule)
        assert found.marks[0].id == first
        assert found.marks[0].by_mm == (6.35 if stem.endswith("imperial") else 6.5)
        row = t.js("girder.ofGroup[1].map((i) => girder.M.id[i])")
        assert len(found.marks) == len({first, *row})
        assert found.gap_mm == (50.8 if stem.endswith("imperial") else 2)
        assert found.hash == sha(json.loads(path.read_text("utf-8")))
        t.js("actions.tickRow(2)")
        after = read_record(t.export(tmp_path / "r2.json"), schedule)
        assert after.previous == found.hash


def test_import_can_be_undone(t):
    t.member("W2")
    t.tap_mark("W2-N1")
    data = t.record()
    data["marks"] = []
    t.load(data)
    assert t.marks() == {}
    t.press("#undo")
    assert t.marks() == {"W2-N1": "good"}


def test_each_record_names_the_one_before_it(t, tmp_path):
    """The chain by hashes, computed here by another library."""
    say_much(t)
    first = json.loads(t.export(tmp_path / "1.json").read_text("utf-8"))
    same = json.loads(t.export(tmp_path / "2.json").read_text("utf-8"))
    assert same == first  # nothing was said in between: no new link
    t.page.reload()
    t.frames()
    t.member("W2")
    t.tap_mark("W2-N3")
    second = json.loads(t.export(tmp_path / "3.json").read_text("utf-8"))
    assert second["previous"] == sha(first)
    t.tap_mark("W2-N4")
    third = json.loads(t.export(tmp_path / "4.json").read_text("utf-8"))
    assert third["previous"] == sha(second)


@pytest.mark.parametrize("text", ["", "abc", "é🪵\u2028", "x" * 55, "x" * 56, "x" * 64, "y" * 1000])
def test_the_page_hashes_as_the_library_does(shared, text):
    assert shared.js("(s) => sha256(s)", text) == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"job": "RH-999"}, "job RH-999, the page is for job RH-204"),
        ({"mark": "G7"}, "girder G7, the page is for girder G1"),
        ({"revision": "C"}, "revision C, the page is for B"),
        ({"content_hash": "f" * 64}, "another content"),
        ({"piece": 3}, "no. 3; there are 2"),
        ({"piece": "1"}, "piece"),
        ({"schema": "girderply.record/3"}, "girderply.record/2"),
        ({"marks": [{"id": "ZZ-N1", "state": "good", "by_mm": None, "note": ""}]}, "ZZ-N1"),
        ({"marks": [{"id": "W2-N1", "state": "fine", "by_mm": None, "note": ""}]}, "W2-N1"),
        ({"marks": [{"id": "W2-N1", "state": "good", "by_mm": 3, "note": ""}]}, "W2-N1"),
        ({"marks": [{"id": "W2-N1", "state": "good", "by_mm": None, "note": 1}]}, "W2-N1"),
        ({"marks": [EXPECTED_MARKS[0]] * 2}, "W2-N1"),
        ({"marks": {}}, "marks"),
        ({"previous": "abc"}, "previous"),
        ({"plies": None}, "plies"),
        ({"plies": {"gap_mm": -1, "alignment_mm": None}}, "plies"),
        ({"signatures": [{"stage": 9, "name": "x", "date": "2026-01-01"}]}, "signatures"),
        ({"note": "n" * 10001}, "note"),
        ({"counts": [None]}, "counts"),
        ({"counts": [{"member": "W2", "stage": 1}]}, "counts"),
        ({"stages": [{"stage": 1, "nails": 3}]}, "stages"),
        ({"decisions": [{"about": "1"}]}, "decisions"),
    ],
)
def test_another_record_is_refused_in_words_and_changes_nothing(shared, change, words):
    said = shared.load(shared.record() | change)
    assert said.startswith("Refused")
    assert words in said
    assert shared.marks() == {"W2-N1": "good"}


@pytest.mark.parametrize("content", ["", "{", "null", "[]", "12", '"x"', "\x00\xff"])
def test_what_is_no_record_is_refused(shared, tmp_path, content):
    path = tmp_path / "x.json"
    path.write_text(content, "latin-1")
    assert shared.load(path).startswith("Refused")


def test_counts_of_another_hand_are_kept_as_they_came(t):
    count = {"member": "W2", "stage": 1, "row": None, "kind": "nail", "due": 5, "found": 4}
    data = t.record() | {"counts": [count]}
    t.load(data)
    assert t.record()["counts"] == [count]
    assert "1 counted lines" in t.page.locator("#panel-body").inner_text()


def test_a_distance_not_said_stops_the_export_and_leads_there(t):
    t.member("W2")
    t.tap_mark("W2-N2")
    t.press("#state-misplaced")
    t.press("#tab-record")
    t.press("#export")
    assert "how far W2-N2 is off" in t.page.locator("#message").inner_text()
    assert t.page.locator("#mark-by").is_visible()


def test_the_record_as_text_for_tablets_that_save_no_files(t, browser, file):
    say_much(t)
    t.press("#tab-record")
    t.press("#as-text")
    text = t.page.locator("#record-text").input_value()
    with tablet(browser, file) as other:
        other.press("#tab-record")
        other.press("#as-text")
        other.page.locator("#record-text").fill(text)
        other.press("#read-text")
        assert other.record()["marks"] == EXPECTED_MARKS


def test_clearing_asks_twice_and_can_be_undone(t):
    t.member("W2")
    t.tap_mark("W2-N1")
    t.press("#tab-record")
    t.press("#wipe")
    assert t.marks() == {"W2-N1": "good"}
    t.press("#wipe")
    assert t.marks() == {}
    t.press("#undo")
    assert t.marks() == {"W2-N1": "good"}


def test_another_window_on_the_same_girder_is_followed(t):
    second = t.context.new_page()
    second.goto(t.page.url)
    t.member("W2")
    t.tap_mark("W2-N1")
    second.wait_for_function("state.now.marks.size === 1")
    assert second.evaluate("girder.M.id[[...state.now.marks.keys()][0]]") == "W2-N1"


def test_markup_in_a_job_and_in_notes_stays_inert(browser, tmp_path):
    """Nothing runs, nothing is asked for, the policy has nothing to refuse."""
    schedule = made_schedule(
        plies=3, number=NASTY, title=NASTY, revision=NASTY, client=NASTY, notes=(NASTY,)
    )
    page = tmp_path / "nasty.html"
    page.write_text(render_html(schedule), "utf-8")
    with tablet(browser, page) as t:
        t.member("W2")
        t.tap_mark("W2-N1")
        t.press("#state-split")
        t.type_in("#mark-note", NASTY)
        t.press("#tab-sign")
        t.type_in("#inspector", NASTY)
        t.type_in("#record-note", NASTY)
        for tab in ("counts", "record", "help", "mark"):
            t.press(f"#tab-{tab}")
        t.js("printing.fill()")
        data = json.loads(t.export(tmp_path / "r.json").read_text("utf-8"))
        assert data["job"] == data["inspector"] == data["marks"][0]["note"] == NASTY
        t.page.reload()
        t.frames()
        assert t.js("window.hit") is None
        assert t.js("document.images.length") == 0
        assert t.js("document.scripts.length") == 2
        assert t.said == []
        assert [u for u in t.asked if not u.startswith(("file:", "blob:"))] == []


@pytest.mark.parametrize(
    "code",
    [
        "document.body.innerHTML = '<img src=x onerror=window.hit=1>'",
        "document.body.setAttribute('onclick', 'window.hit=1')",
        "document.head.append(Object.assign(document.createElement('script'), {text: 'hit=1'}))",
    ],
    ids=["markup", "handler", "script"],
)
def test_markup_cannot_be_made_from_text_even_by_mistake(shared, code):
    """The other side of the test above: had the page's own script slipped, the policy stops it."""
    stopped = f"() => {{ try {{ {code}; return ''; }} catch (e) {{ return e.message; }} }}"
    assert "Trusted" in shared.js(stopped)
    assert shared.js("window.hit") is None


def test_a_page_with_a_foreign_script_does_not_run_it(browser, file, tmp_path):
    html = file.read_text("utf-8").replace("<body>", "<body><script>window.hit = 1</script>")
    page = tmp_path / "foreign.html"
    page.write_text(html, "utf-8")
    with tablet(browser, page) as t:
        assert t.js("window.hit") is None
        assert any("Content Security Policy" in line for line in t.said)


def test_without_scripts_the_list_can_be_read_and_printed(browser, file):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(file.as_uri())
    text = page.locator("#paper").inner_text()
    context.close()
    f = SCHEDULE.fasteners
    assert "Tick-off list" in text
    assert all(name in text for name in set(f.member.tolist()))


def test_print_gives_the_list_with_what_was_found(t):
    say_much(t)
    t.js("printing.fill()")
    t.page.emulate_media(media="print")
    assert not t.page.locator("#app").is_visible()
    paper = t.page.locator("#paper")
    f = SCHEDULE.fasteners
    due = int(((f.member == "W2") & (f.stage == 1)).sum())
    row = paper.locator("tr", has_text="W2").first.locator("td.n").all_inner_texts()
    assert row == [str(due), "1", "1", str(due - 2)]
    text = paper.inner_text()
    assert "PARTIAL" in text
    assert "W2-N2: Misplaced, 7.5\u00a0mm. räumt" in text
    assert "Signed: Ida Quay, 2026-03-05" in text
    assert "Do not lift the girder" in text


def test_not_for_assembly_is_said_on_screen_and_paper(browser, tmp_path):
    page = tmp_path / "failed.html"
    page.write_text(render_html(made_schedule(failed=True)), "utf-8")
    with tablet(browser, page) as t:
        assert "NOT FOR ASSEMBLY" in t.page.locator("#banner").inner_text()
        t.press("#tab-help")
        assert "12 mm short" in t.page.locator("#panel-body").inner_text()
        t.page.emulate_media(media="print")
        assert "NOT FOR ASSEMBLY" in t.page.locator("#paper").inner_text()
