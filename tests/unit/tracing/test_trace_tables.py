"""Tables of nodes, members, plates, bearings and loads: CSV files, a workbook, and bad ones."""

from __future__ import annotations

import csv
import io
import tomllib

import openpyxl
import pytest
from command import girderply
from made_schedules import SAMPLES, sample

from girderply.errors import TraceError
from girderply.exchange.dxf_out import dxf_bytes
from girderply.jobfile.reader import parse_job
from girderply.tracing.drawing import Options
from girderply.tracing.file import trace_file
from girderply.tracing.tables_in import read_loads, read_tables

CUT = "truncated-nodes"
HEADS = {"id": "Name", "x": "x (mm)", "nodes": "Panel points", "depth": "Depth [mm]"}


def tables():
    """Tables of the sample that is given by nodes, without outlines; the jack truss series."""
    job = tomllib.loads((SAMPLES / f"{CUT}.toml").read_text("utf-8"))
    girder = job["girder"]
    members = [{k: v for k, v in m.items() if k != "outline"} for m in girder["members"]]
    for m in members:
        m["nodes"] = ", ".join(m["nodes"])
        m["compression"] = {True: "yes", False: "no"}.get(m.get("compression"), "")
    loads = [{k: v for k, v in x.items() if k != "bracket"} for x in job["loads"]]
    return {
        "nodes": girder["nodes"],
        "members": members,
        "plates": girder["plates"],
        "bearings": girder["bearings"],
        "loads": loads,
    }


def rows_of(rows):
    keys = list(dict.fromkeys(k for row in rows for k in row))
    return [[HEADS.get(k, k) for k in keys], *([row.get(k, "") for k in keys] for row in rows)]


def write_csv(folder, delimiter=","):
    folder.mkdir(exist_ok=True)
    for name, rows in tables().items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8-sig", newline="") as stream:
            csv.writer(stream, delimiter=delimiter).writerows(rows_of(rows))
    return folder


def write_book(path):
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in tables().items():
        sheet = book.create_sheet(name.capitalize())
        for row in rows_of(rows):
            sheet.append(row)
    book.save(path)
    return path


def _is_the_sample(text):
    job, wanted = parse_job(text), sample(CUT).job
    assert job.girder.nodes == wanted.girder.nodes
    assert [(m.id, m.role, m.nodes, m.depth, m.compression) for m in job.girder.members] == [
        (m.id, m.role, m.nodes, m.depth, m.compression) for m in wanted.girder.members
    ]
    assert job.girder.plates == wanted.girder.plates
    assert job.girder.bearings == wanted.girder.bearings
    assert [(x.id, x.chord, x.at, x.every, x.permanent) for x in job.loads] == [
        (x.id, x.chord, x.at, x.every, x.permanent) for x in wanted.loads
    ]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_a_folder_of_csv_files_is_a_job(delimiter, tmp_path):
    folder = write_csv(tmp_path / "tables", delimiter)
    made = trace_file(folder, Options(plies=3, ply_thickness="45 mm", timber="C24"))
    _is_the_sample(made.text)
    assert made.guesses == ()
    assert ">TC1<" in made.picture
    assert trace_file(folder / "nodes.csv").text.count("[[loads]]") == 2


def test_a_workbook_is_a_job(tmp_path):
    made = trace_file(write_book(tmp_path / "g4.xlsx"), Options(plies=3))
    _is_the_sample(made.text)
    assert [g.key for g in made.guesses] == ["girder.ply_thickness", "girder.timber"]


@pytest.mark.parametrize("part", [",", ";", "\t"])
def test_loads_are_pasted_or_piped_in(capsys, tmp_path, monkeypatch, part):
    """As a spreadsheet gives them to the clipboard: cells parted by tabs."""
    drawing = tmp_path / "G.dxf"
    drawing.write_bytes(dxf_bytes(sample(CUT)))
    lines = ["chord,face,at (mm),G,Q", "BC1,front,1200,1.5 kN,2 kN", "BC1,back,2400,3 kN,4 kN"]
    pasted = "\r\n".join(line.replace(",", part) for line in lines).encode()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(pasted)))
    ran = girderply(capsys, "trace", drawing, "--loads", "-", "--plies", 2)
    found = parse_job(ran.out).loads
    assert [(x.chord, x.face, x.at, x.permanent, x.variable) for x in found] == [
        ("BC1", "front", 1200.0, 1500.0, 2000.0),
        ("BC1", "back", 2400.0, 3000.0, 4000.0),
    ]


@pytest.mark.parametrize(
    ("pasted", "words"),
    [
        (b"", "no loads"),
        (b"chord,at\n", "no loads"),
        (b"\xff\xfe", "UTF-8"),
        (b"a,b\n1,2", "no column"),
    ],
)
def test_pasted_text_that_is_no_table_is_refused(capsys, tmp_path, monkeypatch, pasted, words):
    drawing = tmp_path / "G.dxf"
    drawing.write_bytes(dxf_bytes(sample(CUT)))
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(pasted)))
    ran = girderply(capsys, "trace", drawing, "--loads", "-")
    assert (ran.code, ran.out) == (2, "")
    assert words in ran.err


def test_loads_of_a_table_go_with_a_drawing(capsys, tmp_path):
    drawing = tmp_path / "g4.dxf"
    drawing.write_bytes(dxf_bytes(sample(CUT)))
    loads = write_csv(tmp_path / "tables") / "loads.csv"
    ran = girderply(capsys, "trace", drawing, "--loads", loads)
    assert ran.code == 0, ran.err
    assert [x.id for x in parse_job(ran.out).loads] == ["J", "H"]


def test_ends_in_two_columns_and_units_in_headings(tmp_path):
    (tmp_path / "members.csv").write_text(
        "member;kind;start;end;height (in)\nW1;web;A;B;3,5\n", "utf-8"
    )
    (row,) = read_tables(tmp_path / "members.csv")["members"]
    assert row == {"id": "W1", "role": "web", "nodes": "A B", "depth": "3.5 in"}


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("nodes.csv", "id,x,z\nA,1,2\n", r'"z" is no column of nodes'),
        ("loads.csv", "id,chrod\nA,BC1\n", r'"chrod" is no column of loads.*did you mean "chord"'),
        ("other.csv", "id,x,y\nA,1,2\n", "holds none of the tables"),
        ("nodes.csv", "id,x,y\nA,1,=2\n", "girder.nodes"),
        ("members.csv", "id,role,nodes,depth\nW1,web,A B,95\n", "nodes"),
    ],
)
def test_bad_tables_are_refused_with_words(name, text, words, tmp_path):
    path = tmp_path / name
    path.write_text(text, "utf-8")
    with pytest.raises(TraceError, match=r"(?s)" + words) as caught:
        trace_file(path)
    assert caught.value.findings


def test_what_is_no_workbook_is_refused(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"PK nothing")
    with pytest.raises(TraceError, match="no workbook"):
        read_loads(path)
