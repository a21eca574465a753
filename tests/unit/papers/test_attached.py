"""Files in a PDF are read back by another library too, and every change of one is noticed."""

from __future__ import annotations

import hashlib
import io

import pikepdf
import pytest
from inspection_records import sample

from girderply.papers.page.attached import Attached, AttachedError, digest_of, read_attached
from girderply.papers.page.blocks import Sheet, title
from girderply.papers.page.typeset import render_made

FILES = (
    Attached("job.toml", 'mark = "Pfosten é"\r\n', "application/toml", "the job", "source"),
    Attached("record-1.json", '{"a":[1,2.5,"ü"]}', "application/json", "first record"),
)


@pytest.fixture(scope="module")
def pdf() -> bytes:
    sheet = Sheet("one", "One", "A4", [title("One")])
    return render_made(sample("two-ply-howe"), [sheet], attached=FILES)


def changed(pdf: bytes, change) -> bytes:
    with pikepdf.open(io.BytesIO(pdf)) as book:
        change(book)
        saved = io.BytesIO()
        book.save(saved)
    return saved.getvalue()


def put(name, content):
    def change(book):
        book.attachments[name] = pikepdf.AttachedFileSpec(book, content, filename=name)

    return change


def test_another_library_reads_what_was_put_in(pdf):
    with pikepdf.open(io.BytesIO(pdf)) as book:
        found = {n: a.get_file().read_bytes() for n, a in book.attachments.items()}
        relations = {str(a.UF): str(a.AFRelationship) for a in book.Root.AF}
        told = book.open_metadata().pdfa_status
    for f in FILES:
        assert found.pop(f.name) == f.content.encode()
    listed = "".join(f"{hashlib.sha256(f.content.encode()).hexdigest()}  {f.name}\n" for f in FILES)
    (listing,) = found.values()
    assert sorted(listing.decode().splitlines()) == sorted(listed.splitlines())
    assert relations["job.toml"] == "/Source"
    assert relations["record-1.json"] == "/Data"
    assert told == "3A"  # ISO 19005-3, level A


def test_read_back_unchanged(pdf):
    found = read_attached(pdf)
    assert found.unchanged
    assert found.files["job.toml"] == FILES[0].content.encode()
    assert found.digest == digest_of(FILES)


def test_saved_by_another_program_it_is_read_all_the_same(pdf):
    found = read_attached(changed(pdf, lambda _: None))
    assert found.unchanged
    assert found.digest == digest_of(FILES)


@pytest.mark.parametrize(
    ("change", "name", "told"),
    [
        (put("record-1.json", b'{"a":[1,2.5,"u"]}'), "record-1.json", "changed"),
        (put("record-2.json", b"{}"), "record-2.json", "not-listed"),
        (lambda book: book.attachments.__delitem__("job.toml"), "job.toml", "missing"),
    ],
)
def test_the_part_that_changed_is_named(pdf, change, name, told):
    found = read_attached(changed(pdf, change))
    assert not found.unchanged
    assert {n: c for n, c in found.changes.items() if c != "same"} == {name: told}


@pytest.mark.parametrize(
    "content", [b"", b"hello", b"%PDF-1.7\n", b"%PDF-1.7\ntrailer<</Root 1 0 R>>\nstartxref\n9"]
)
def test_what_is_no_pdf_is_said(content):
    with pytest.raises(AttachedError, match=r"no PDF|cannot be read|was not made"):
        read_attached(content)


def test_a_pdf_without_files_says_so():
    sheet = Sheet("one", "One", "A4", [title("One")])
    plain = render_made(sample("two-ply-howe"), [sheet])
    with pytest.raises(AttachedError, match=r"was not made with files inside"):
        read_attached(plain)


def test_two_files_of_one_name_are_refused():
    with pytest.raises(AttachedError, match="one name"):
        render_made(sample("two-ply-howe"), [], attached=[FILES[0], FILES[0]])
