"""One file carries everything: what is inside the supplier's PDF, read by other libraries."""

from __future__ import annotations

import io

import ifcopenshell
import pikepdf
import pytest
from command import girderply
from made_schedules import sample

from girderply.cli.pack import pack_files
from girderply.jobfile.reader import parse_job
from girderply.papers.sheets import render_documents
from girderply.schedule.build_schedule import build_schedule

HOWE = "two-ply-howe"
PLACES = {
    "job.toml": "job.toml",
    "schedule.json": "schedule.json",
    "girder.ifc": "exchange/girder.ifc",
}


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return pack_files(sample(HOWE))


def inside(pdf: bytes) -> dict[str, bytes]:
    with pikepdf.open(io.BytesIO(pdf)) as book:
        return {n: a.get_file().read_bytes() for n, a in book.attachments.items()}


def test_the_delivery_of_a_pack_holds_the_files_of_the_pack(files):
    found = inside(files["delivery.pdf"])
    assert {
        n: data == files[PLACES[n]] for n, data in found.items() if n in PLACES
    } == dict.fromkeys(PLACES, True)
    assert set(found) - set(PLACES) == {"contents.sha256"}
    with pikepdf.open(io.BytesIO(files["delivery.pdf"])) as book:
        assert book.open_metadata().pdfa_status == "3A"  # ISO 19005-3, level A


def test_what_is_inside_is_a_model_and_a_job_of_the_same_content(files):
    """The model by ifcopenshell; the job, decided again, has the hash that the title block has."""
    found = inside(files["delivery.pdf"])
    model = ifcopenshell.file.from_string(found["girder.ifc"].decode())
    assert len(model.by_type("IfcElementAssembly")) == 1 + sample(HOWE).girder.plies
    again = build_schedule(parse_job(found["job.toml"].decode()))
    assert again.content_hash == sample(HOWE).content_hash


def test_no_other_document_carries_files_and_joined_ones_do_not(files):
    made = sample(HOWE)
    pdfs, _ = render_documents(made, join=True)
    assert {n for n, data in pdfs.items() if inside(data)} == set()
    assert {n for n, data in files.items() if n.endswith(".pdf") and inside(data)} == {
        "delivery.pdf"
    }


def test_the_document_alone_is_the_one_of_the_pack(capsys, tmp_path, files):
    job = tmp_path / "job.toml"
    job.write_bytes(files["job.toml"])
    made = girderply(capsys, "pack", str(job), "--for", "delivery", "--out", str(tmp_path))
    (pdf,) = tmp_path.glob("*.pdf")
    assert str(pdf) in made.out.replace("\n", "")
    assert pdf.read_bytes() == files["delivery.pdf"]
