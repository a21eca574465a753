"""The result of an inspection as sheets: words, counts, stations, stamps, clean drawings."""

from __future__ import annotations

import io
import json
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pseudo_language
import pytest
from command import girderply
from inspection_records import SAMPLES, ids, record, record_data, sample
from lettering_faults import outside_texts, overlapping_texts, small_texts, texts_on_signs
from pypdf import PdfReader

from girderply.drawing import style
from girderply.drawing.primitives import Cross, Dot, Line
from girderply.drawing.strips import cuts
from girderply.inspection.history import History
from girderply.inspection.judge import inspect
from girderply.inspection.record import parse_record
from girderply.papers.inspector.check_sheet import check_sheet
from girderply.papers.inspector.inspection_sheet import inspection_pdf, inspection_sheets
from girderply.papers.inspector.make_good_strips import made_good
from girderply.papers.page.furniture import room
from girderply.papers.page.typeset import drawings
from girderply.schedule import cautions
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

JOB = SAMPLES / "two-ply-howe.toml"


def lost_of(name):
    """Asymmetric losses: one zone of a chord, webs, a bolt, in each case with something else."""
    s = sample(name)
    if name == "two-ply-howe":
        return dict.fromkeys(ids(s, "BC1")[30:38], "missing") | dict.fromkeys(
            ids(s, "TC1")[3:6], "overdriven"
        )
    if name == "two-ply-imperial":
        lost = dict.fromkeys(ids(s, "BC1")[10:22], "missing")
        return lost | dict.fromkeys(ids(s, "TC1")[5:12], ("misplaced", 30.0, "near the edge"))
    return dict.fromkeys([*ids(s, "BC1")[20:44], *ids(s, "BC1")[100:130]], "missing")


def bolts_lost(s):
    bolts = s.fasteners.id[s.fasteners.kind == "bolt"].tolist()
    found = {bolts[0]: "missing", bolts[1]: "loose", bolts[2]: "wrong-size"}
    return found | dict.fromkeys(ids(s, "W4")[1:5], "missing")


@cache
def case(name):
    s = sample("two-ply-howe" if name == "bolts" else name)
    return s, inspect(s, record(s, bolts_lost(s) if name == "bolts" else lost_of(name)))


CASES = ("two-ply-howe", "two-ply-imperial", "three-ply-pratt", "bolts")


def pages(pdf):
    return PdfReader(io.BytesIO(pdf)).pages


def text_of(pdf):
    return "\n".join(" ".join(p.extract_text().split()) for p in pages(pdf))


def tables(sheet, head):
    return [b for b in sheet.blocks if b["kind"] == "table" and b["heads"][0] == head]


def cells(row):
    return [cell.get("text", "") for cell in row]


@pytest.mark.parametrize("name", CASES)
def test_drawings_are_clean_and_fit_the_page(name):
    s, x = case(name)
    assert x.verdict == "add"
    sheet = inspection_sheets(s, x)[1]
    assert sheet.size == "A3"
    free = room("A3")
    for d in drawings(sheet):
        assert overlapping_texts(d) == [], d.name
        assert outside_texts(d) == [], d.name
        assert small_texts(d) == [], d.name
        assert texts_on_signs(d) == [], d.name
        assert d.width <= free.width + 0.01, d.name
        assert d.height <= free.height, d.name
        assert all(s.a[0] <= d.width + 0.01 for s in d.shapes if isinstance(s, Line)), d.name


@pytest.mark.parametrize("name", CASES)
def test_each_addition_is_drawn_heavy_once_and_named_with_its_station(name):
    s, x = case(name)
    show, sheet = Printed(s.job.info.units, ENGLISH), inspection_sheets(s, x)[1]
    strips = [d for d in drawings(sheet) if d.name.startswith("make-good-")]
    signs = [g for d in strips for g in d.shapes if isinstance(g, Dot | Cross) and ":" in g.tag]
    heavy = Counter(g.tag for g in signs if g.pen in (style.NAIL, style.BOLT))
    f = x.make_good
    assert heavy == Counter(f"{k}:{n}" for k, n in zip(f.kind, f.id, strict=True))
    assert len([g for g in signs if g.pen not in (style.NAIL, style.BOLT)]) > 0
    said = Counter(t.text for d in strips for t in d.texts() if t.bold and "  " in t.text)
    wanted = zip(f.id.tolist(), f.station.tolist(), strict=True)
    assert said == Counter(f"{n.rpartition('-')[2]}  {show.station(v)}" for n, v in wanted)


@pytest.mark.parametrize("name", CASES)
def test_what_was_missing_is_not_drawn_and_what_stands_there_is_light(name):
    s, x = case(name)
    gone = {r.id for r in x.remarks if r.state == "missing"}
    drawn = {
        g.tag.partition(":")[2]
        for d in drawings(inspection_sheets(s, x)[1])
        for g in d.shapes
        if isinstance(g, Dot | Cross)
    }
    assert gone
    assert not gone & drawn
    assert set(s.fasteners.id.tolist()) - gone <= drawn, "the overview has all that stands there"


def test_heavy_signs_lie_at_their_stations_from_the_hook_end():
    """At 1:10 a station s of TC1, whose hook is on the strip, is s / 10 mm from the hook's bar.

    The bar stands 0.9 mm outside the end.
    """
    s, x = case("two-ply-howe")
    strip = next(d for d in drawings(inspection_sheets(s, x)[1]) if d.name == "make-good-front-1")
    (bar,) = (g for g in strip.shapes if isinstance(g, Line) and g.tag == "hook")
    (nail,) = (g for g in strip.shapes if isinstance(g, Dot) and g.tag == "nail:TC1-M1")
    station = float(x.make_good.station[x.make_good.id == "TC1-M1"][0])
    assert nail.centre[0] - bar.a[0] == pytest.approx(station / 10 + 0.9, abs=1e-6)


def test_a_back_face_is_mirrored_and_says_on_which_side_the_hook_end_is():
    s, x = case("two-ply-imperial")
    (back,) = {d.name: d for d in drawings(inspection_sheets(s, x)[1])
               if d.name == "make-good-back-1"}.values()  # fmt: skip
    (bar,) = (g for g in back.shapes if isinstance(g, Line) and g.tag == "hook")
    dots = [g.centre[0] for g in back.shapes if isinstance(g, Dot) and ":TC1-M" in g.tag]
    assert max(dots) < bar.a[0]
    assert any("hook end right on this drawing" in t.text for t in back.texts())


@pytest.mark.parametrize("name", CASES)
def test_the_list_has_every_addition_with_what_it_stands_in_for(name):
    s, x = case(name)
    show = Printed(s.job.info.units, ENGLISH)
    (table,) = tables(inspection_sheets(s, x)[0], "Name")[:1]
    rows = [cells(r) for r in table["rows"]]
    f = x.make_good
    assert [r[0] for r in rows] == f.id.tolist()
    assert [r[1] for r in rows] == f.member.tolist()
    assert all(r[2].startswith(f"{k} {p}") for r, k, p in zip(rows, f.kind, f.spec, strict=True))
    assert [r[3] for r in rows] == f.face.tolist()
    assert [r[4] for r in rows] == [show.station(v) for v in f.station.tolist()]
    assert [r[6] for r in rows] == [other or "\u2013" for other in x.instead_of]


def test_loose_bolts_and_drill_sizes_are_listed():
    s, x = case("bolts")
    sheet = inspection_sheets(s, x)[0]
    (tighten,) = tables(sheet, "Bolt")
    assert [cells(r)[0] for r in tighten["rows"]] == list(x.tighten)
    assert len(x.tighten) == 1
    first = cells(tables(sheet, "Name")[0]["rows"][0])
    assert first[2].replace("\u00a0", " ") == "bolt M12 x 100, drill 13 mm"


def test_counts_by_stage_and_member_are_those_of_the_schedule():
    s, x = case("two-ply-imperial")
    (table,) = tables(inspection_sheets(s, x)[0], "Stage")
    rows = [cells(r) for r in table["rows"]]
    f = s.fasteners
    due = Counter(zip(f.stage.tolist(), f.member.tolist(), strict=True))
    assert Counter({(int(r[0]), r[1]): int(r[3]) for r in rows}) == due, "no bolts in this one"
    found = {(int(r[0]), r[1]): int(r[4]) for r in rows}
    assert sum(due.values()) - sum(found.values()) == 12, "misplaced ones are there"
    counting = sum(int(r[5]) for r in rows)
    assert sum(due.values()) - counting == sum(
        int(r[6].split()[0]) for r in rows if r[6].endswith("short")
    )


@pytest.mark.parametrize(
    ("only", "states", "stamp", "word"),
    [
        (["BC1-N1"], {}, "NOT ACCEPTED: PARTIAL", "ONLY PARTLY INSPECTED"),
        (None, {"BC1-B1": "split"}, "NOT ACCEPTED: ENGINEER", "The engineer must decide"),
    ],
)
def test_what_is_no_pass_is_stamped_on_every_page(only, states, stamp, word):
    s = sample("two-ply-howe")
    pdf = inspection_pdf(s, inspect(s, record(s, states, only=only)))
    said = text_of(pdf)
    assert said.count(stamp) == len(pages(pdf))
    assert word in said
    assert "ACCEPTED" not in said.replace("NOT ACCEPTED", "")


def test_not_for_assembly_stays_over_every_other_stamp():
    s = sample("refused-overloaded")
    result = inspect(s, record(s))
    pdf = inspection_pdf(s, result)
    for page in pages(pdf):
        said = " ".join(page.extract_text().split())  # a flag may stand on two lines
        assert said.count(english(cautions.not_for_assembly())) >= 2, "flag and stamp"
    assert "NOT ACCEPTED: ENGINEER" not in text_of(pdf)


def test_accepted_has_one_sheet_and_no_stamp():
    s = sample("two-ply-howe")
    said = text_of(inspection_pdf(s, inspect(s, record(s))))
    assert "ACCEPTED girder G1, piece 1 of 2" in said
    assert "NOT ACCEPTED" not in said
    assert "NOT ACCEPTED" not in said
    assert "Add " not in said
    assert "NOT" not in said.split("Job, girder")[0]


def test_record_hash_and_the_one_before_it_are_whole():
    s = sample("two-ply-howe")
    before = "0123456789abcdef" * 4
    x = replace(inspect(s, record(s)), previous_hash=before)
    pairs = dict(
        next(b for b in inspection_sheets(s, x)[0].blocks if b["kind"] == "facts")["pairs"]
    )
    assert pairs["Record"].replace(" ", "") == x.record_hash
    assert pairs["Record before it"].replace(" ", "") == before
    assert pairs["Inspected by"] == "A. Inspector"


def test_pages_have_the_cautions_bar_piece_and_size():
    s, x = case("two-ply-imperial")
    pdf = inspection_pdf(s, x)
    sizes = [
        tuple(round(float(v) / 72 * 25.4) for v in (p.mediabox.width, p.mediabox.height))
        for p in pages(pdf)
    ]
    assert set(sizes) == {(210, 297), (420, 297)}
    for i, page in enumerate(pages(pdf)):
        said = " ".join(page.extract_text().split())
        assert "piece 1 of 1" in said
        assert ("Never cut, notch or drill" if i == 0 else "Fastening only") in said
        large = float(page.mediabox.width) > 1000
        assert ("This bar is" in said) == (i == 0 or large)


def test_an_imperial_result_has_no_metric_figure():
    s, x = case("two-ply-imperial")
    for sheet in inspection_sheets(s, x):
        plain = [b for b in sheet.blocks if b["kind"] != "drawing"]
        said = json.dumps(plain, default=str, ensure_ascii=False)
        said += " ".join(t.text for d in drawings(sheet) for t in d.texts())
        assert " mm" not in said.replace("\u00a0", " ")
        assert "kN" not in said


def test_words_of_a_record_are_words_and_fit():
    s = sample("two-ply-howe")
    evil = "#strong[x] <b>\u202e $y$ " + "w" * 150
    states = dict.fromkeys(ids(s, "BC1")[30:38], ("missing", None, "#eval(1) " + "q" * 150))
    pdf = inspection_pdf(s, inspect(s, record(s, states, inspector=evil, date="<i>")))
    said = text_of(pdf)
    for literal in ("#strong[x] <b>", "$y$", "<i>", "#eval(1)", "\\u202e"):
        assert literal in said
    assert "\u202e" not in said
    assert "w" * 100 not in said


def test_same_result_same_bytes_with_or_without_the_additions_in_the_schedule():
    s, x = case("bolts")
    assert inspection_pdf(s, x) == inspection_pdf(s, x) == inspection_pdf(made_good(s, x), x)


def test_a_second_round_draws_what_was_added_before_as_there():
    s = sample("two-ply-howe")
    history = History(s)
    first = history.take(record(s, dict.fromkeys(ids(s, "BC1")[30:38], "missing")))
    between, lost = history.schedule, first.make_good.id.tolist()[1:]
    assert lost
    data = record_data(between, dict.fromkeys(lost, "missing"), only=first.make_good.id.tolist())
    data["previous"] = first.record_hash
    second = history.take(parse_record(json.dumps(data), between))
    assert second.verdict == "add"
    drawn = drawings(inspection_sheets(history.schedule, second)[1])
    dots = {g.tag.partition(":")[2]: g.pen for d in drawn for g in d.shapes if isinstance(g, Dot)}
    assert dots["BC1-M1"] == style.NAIL_LIGHT
    assert not set(lost) & set(dots)
    assert all(dots[n] == style.NAIL for n in second.make_good.id.tolist())


@pytest.mark.parametrize(
    ("length", "stations"),
    [(8400.0, [1685.0, 1750.0, 2150.0]), (8400.0, []), (7000.0, [3000.0, 3010.0])],
)
def test_no_piece_of_a_strip_is_longer_than_its_room(length, stations):
    ends = cuts(length, 3400.0, stations)
    assert max(b - a for a, b in pairwise(ends)) <= 3400.0 + 1e-6
    assert ends[0] == 0.0
    assert ends[-1] == length


@pytest.fixture
def written(tmp_path):
    path = tmp_path / "r.json"
    path.write_text(json.dumps(record_data(sample("two-ply-howe"), lost_of("two-ply-howe"))))
    return path


def test_command_writes_a_pdf_and_says_the_verdict(capsys, tmp_path, written):
    out = tmp_path / "result.pdf"
    ran = girderply(capsys, "inspect", JOB, written, "--format", "pdf", "--out", out)
    assert (ran.code, ran.out) == (1, "")
    assert "NOT YET" in ran.err
    s, x = case("two-ply-howe")
    assert out.read_bytes() == inspection_pdf(s, x)


def test_command_wants_a_file_for_a_pdf(capsys, written):
    ran = girderply(capsys, "inspect", JOB, written, "--format", "pdf")
    assert (ran.code, ran.out) == (2, "")
    assert "name a file with --out" in ran.err


def told_all_states():
    """Records that make the inspection say as much as it can: every state, counts, gaps."""
    s = sample("two-ply-howe")
    yield s, case("bolts")[1]
    yield s, case("two-ply-howe")[1]
    states = ("missing", ("misplaced", 4.0, ""), "overdriven", "split", "wrong-size", "loose")
    each = dict(zip(ids(s, "BC1"), states, strict=False))
    plies = {"gap_mm": 9.0, "alignment_mm": 9.0}
    yield s, inspect(s, record(s, each | {ids(s, "BC1", "bolt")[0]: "split"}, plies=plies))
    unsure = {ids(s, "TC1")[0]: ("misplaced", None, ""), ids(s, "TC1")[1]: "split"}
    unsure |= {ids(s, "TC1")[2]: "split"}
    yield s, inspect(s, record(s, unsure, only=ids(s, "TC1")))
    count = {"member": "BC1", "stage": 1, "row": 1, "kind": "nail", "due": 0, "found": 0}
    f = s.fasteners
    count["due"] = int(
        sum((f.member == "BC1") & (f.stage == 1) & (f.kind == "nail") & (f.row == 1))
    )
    rest = [n for n in f.id.tolist() if n not in set(ids(s, "BC1"))]
    for found in (3, count["due"] + 2):
        yield s, inspect(s, record(s, only=rest, counts=[count | {"found": found}]))


@pytest.mark.parametrize("k", range(6))
def test_no_word_of_the_result_is_written_into_the_code(k):
    s, x = list(told_all_states())[k]
    known = pseudo_language.data_words(JOB) | {"DIN", "Inspector", s.rules.title}
    # An elevation says these; tests of the sheets look for them there.
    known |= {"elevation", "face", "left", "right", "end"}
    hashes = {x.record_hash, x.previous_hash or ""}
    known |= {w for p in s.patterns for w in p.source.split() if isinstance(p.source, str)}
    with pseudo_language.spoken():
        sheets = inspection_sheets(pseudo_language.in_it(s), x)
        found = {
            text: words
            for sheet in sheets
            for text in pseudo_language.texts_of([sheet.title, *sheet.blocks])
            if text.replace(" ", "") not in hashes
            and (words := pseudo_language.unspoken(text, known))
        }
    assert found == {}


def test_a_result_in_french():
    s, x = case("two-ply-howe")
    info = replace(s.job.info, language="fr")
    text = text_of(inspection_pdf(replace(s, job=replace(s.job, info=info)), x))
    assert "PAS ENCORE ACCEPTÉE" in text
    assert "32,5 mm au-dessous de l'axe" in text.replace("\u00a0", " ")
    for word in ("Found", "Station", "Make good", "centreline", "force to transfer"):
        assert word not in text


def test_what_is_due_stands_at_the_edge_behind_a_line_to_fold():
    """Nothing but the last column says how many there should be, so that it can be folded back."""
    sheet = check_sheet(ENGLISH, sample("two-ply-howe"), "A4")
    tables = [t for kept in sheet.blocks for t in kept.get("blocks", []) if t["kind"] == "table"]
    counted = [t for t in tables if t["fold"]]
    assert counted
    for table in counted:
        assert table["heads"][-1] == "Required"
        for row in table["rows"]:
            assert row[-1]["text"].split()[0].isdigit()
            assert not any(c.get("text", "").isdigit() for c in row[:-1])


def test_what_was_seen_missing_is_short_and_what_nobody_saw_is_not_looked_at():
    """A bolt that was seen missing in a record that is not finished: never "not looked at"."""
    s = sample("two-ply-howe")
    bolt = next(n for n in s.fasteners.id.tolist() if "-B" in n)
    member = bolt.partition("-")[0]
    others = [n for n in ids(s, member) if n != bolt]
    result = inspect(s, record(s, {bolt: "missing"}, only=[bolt, *others[:3]]))
    assert result.verdict == "partial"
    table = next(
        block
        for block in inspection_sheets(s, result)[0].blocks
        if block["kind"] == "table" and "Required" in block["heads"]
    )
    said = {(row[1]["text"], row[2]["text"]): row[-1]["text"] for row in table["rows"]}
    assert said[member, "bolts"].startswith("1 short")
    assert all("short" not in words for key, words in said.items() if key != (member, "bolts"))
    assert any("not looked at" in words for words in said.values())
