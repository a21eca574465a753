"""`girderply verify delivery.pdf`: as made, or which part is not; changed by another library."""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pytest
from command import girderply
from made_schedules import SAMPLES, sample

import girderply as girderply_package
from girderply.cli.pack import pack_files

HOWE = "two-ply-howe"
Change = Callable[[pikepdf.Pdf], None]


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return pack_files(sample(HOWE))


@pytest.fixture(scope="module")
def pdf(files) -> bytes:
    return files["delivery.pdf"]


LOGO = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 2"><path d="M0 0h4v2z"/></svg>'


def test_a_pack_carries_its_owner_s_mark_and_is_made_again_from_it(tmp_path, capsys):
    text = (SAMPLES / f"{HOWE}.toml").read_text("utf-8")
    job = tmp_path / "j.toml"
    job.write_text(text.replace("[job]", '[job]\nowner = "Firm"\nlogo = "Mark.SVG"'), "utf-8")
    mark = job.with_name("Mark.SVG")
    mark.write_text(LOGO)
    assert girderply(capsys, "pack", job, "--out", tmp_path / "a").code == 0
    (first,) = (tmp_path / "a").iterdir()
    assert "  logo.svg\n" in (first / "contents.sha256").read_text()
    mark.unlink()
    assert girderply(capsys, "verify", first / "delivery.pdf").code == 0
    assert girderply(capsys, "check", first).code == 0
    refused = girderply(capsys, "check", job)
    assert (refused.code, "job.logo" in refused.err) == (2, True)


def saved(pdf: bytes, change: Change) -> bytes:
    """The PDF as another library saves it again, with a change."""
    with pikepdf.open(io.BytesIO(pdf)) as book:
        change(book)
        out = io.BytesIO()
        book.save(out)
    return out.getvalue()


def put(book: pikepdf.Pdf, name: str, content: bytes) -> None:
    book.attachments[name] = pikepdf.AttachedFileSpec(book, content, filename=name)


def told(capsys, tmp_path: Path, content: bytes) -> tuple[int, str, str]:
    """Exit code, what is said, and the verdict."""
    path = tmp_path / "d.pdf"
    path.write_bytes(content)
    made = girderply(capsys, "verify", str(path))
    return made.code, made.err, made.out


def sentences(text: str) -> list[str]:
    """What is said of the file, one after the other."""
    return [line.partition("d.pdf: ")[2] for line in text.splitlines()]


@pytest.mark.usefixtures("made_anew")
def test_as_made_to_the_byte(capsys, tmp_path, pdf):
    code, err, out = told(capsys, tmp_path, pdf)
    assert (code, err) == (0, "")
    assert sentences(out) == [
        *[s for s in sentences(out) if s.startswith("the files inside are as they were put in")],
        "both engines agree on schedule.json",
        "its pages are as they were made",
    ]


def test_saved_again_it_shows_the_same(capsys, tmp_path, pdf):
    again = saved(pdf, lambda _: None)
    assert again != pdf
    code, _, out = told(capsys, tmp_path, again)
    assert code == 0
    assert "its pages show what they showed; another program has saved the file since" in out
    assert "both engines agree" in out


def lighter(book: pikepdf.Pdf) -> None:
    """One nail fewer on paper: something is drawn over the second page."""
    page = book.pages[1]
    page.contents_add(b"q 1 g 100 100 200 200 re f Q")


def noted(book: pikepdf.Pdf) -> None:
    text = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot,
        Subtype=pikepdf.Name.FreeText,
        Rect=[50, 50, 300, 90],
        Contents="use 3.1 x 90",
        DA="/Helv 12 Tf 0 g",
    )
    book.pages[0].Annots = pikepdf.Array([book.make_indirect(text)])


def scripted(book: pikepdf.Pdf) -> None:
    book.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert(1)")


def shorter(book: pikepdf.Pdf) -> None:
    del book.pages[1]


def turned(book: pikepdf.Pdf) -> None:
    book.pages[0].Rotate = 90


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (lighter, "its pages were changed: page 2"),
        (noted, "its pages were changed: page 1"),
        (turned, "its pages were changed: page 1"),
        (shorter, "its pages were changed: page 2"),
        (scripted, "its pages were changed: document"),
        (lambda book: put(book, "more.txt", b"x"), "more.txt was put in later"),
        (lambda book: book.attachments.__delitem__("girder.ifc"), "girder.ifc is missing"),
    ],
)
def test_the_part_that_is_not_as_made_is_named(capsys, tmp_path, pdf, change, wrong):
    code, err, _ = told(capsys, tmp_path, saved(pdf, change))
    assert code == 1
    assert sentences(err) == [wrong]


def test_a_file_inside_and_its_line_in_the_list_changed_together(capsys, tmp_path, pdf):
    """Whoever changes both fools the list, not the job: what the job gives is something else."""

    def forge(book: pikepdf.Pdf) -> None:
        every = {n: a.get_file().read_bytes() for n, a in book.attachments.items()}
        model = every["girder.ifc"].replace(b"NAIL", b"BOLT")
        assert model != every["girder.ifc"]
        before, after = (hashlib.sha256(m).hexdigest() for m in (every["girder.ifc"], model))
        put(book, "girder.ifc", model)
        listing = every["contents.sha256"].replace(before.encode(), after.encode())
        put(book, "contents.sha256", listing)

    code, err, _ = told(capsys, tmp_path, saved(pdf, forge))
    assert code == 1
    assert sentences(err) == ["girder.ifc is not what the job inside gives"]


def test_another_job_inside_gives_other_sheets(capsys, tmp_path, pdf):
    """The list is changed with it, so that nothing but the job itself can tell."""

    def forge(book: pikepdf.Pdf) -> None:
        every = {n: a.get_file().read_bytes() for n, a in book.attachments.items()}
        job = every["job.toml"].replace(b'revision = "A"', b'revision = "B"', 1)
        before, after = (hashlib.sha256(j).hexdigest() for j in (every["job.toml"], job))
        put(book, "job.toml", job)
        put(
            book,
            "contents.sha256",
            every["contents.sha256"].replace(before.encode(), after.encode()),
        )

    code, err, _ = told(capsys, tmp_path, saved(pdf, forge))
    assert code == 1
    assert sorted(sentences(err)) == [
        "girder.ifc is not what the job inside gives",
        "its pages were changed: page 1, page 2",
        "schedule.json is not what the job inside gives",
    ]


def test_another_version_does_not_judge_the_sheets(capsys, tmp_path, pdf, monkeypatch):
    made_by = girderply_package.__version__
    monkeypatch.setattr(girderply_package, "__version__", "99.0")
    code, _, out = told(capsys, tmp_path, pdf)
    assert code == 0
    assert f"made by version {made_by}: its pages are not compared" in out
    changed = saved(pdf, lambda book: put(book, "job.toml", b"x = 1"))
    code, err, _ = told(capsys, tmp_path, changed)
    assert (code, sentences(err)) == (1, ["job.toml was changed after it was put in"])


@pytest.mark.parametrize(("language", "paper"), [("fr", "A3"), ("en-US", "letter")])
def test_another_language_and_paper_are_as_made(capsys, tmp_path, files, language, paper):
    """How it was asked for stands in no file inside: it is read off the pages."""
    job = tmp_path / "job.toml"
    job.write_bytes(files["job.toml"])
    told_so = [
        "--for",
        "delivery",
        "--language",
        language,
        "--paper",
        paper,
        "--out",
        str(tmp_path),
    ]
    girderply(capsys, "pack", str(job), *told_so)
    (made,) = tmp_path.glob("*.pdf")
    ran = girderply(capsys, "verify", str(made))
    assert (ran.code, "its pages are as they were made\n" in ran.out) == (0, True)


@pytest.mark.parametrize("content", [b"%PDF-1.7\n", b"%PDF-1.7\ntrailer<</Root 1 0 R>>"])
def test_what_cannot_be_read_is_said(capsys, tmp_path, content):
    code, err, out = told(capsys, tmp_path, content)
    assert (code, out) == (2, "")
    assert "cannot be verified" in err


def test_a_document_without_files_cannot_be_told(capsys, tmp_path, files):
    code, err, _ = told(capsys, tmp_path, files["yard.pdf"])
    assert code == 2
    assert "was not made with files inside" in err.replace("\n", " ")


def test_files_of_a_pack_that_were_changed_are_named(capsys, tmp_path, files):
    """A filled list is what it is for; a marked-up sheet and a file that is gone are told."""
    job = tmp_path / "job.toml"
    job.write_bytes(files["job.toml"])
    girderply(capsys, "pack", str(job), "--out", str(tmp_path / "out"))
    (pack,) = (tmp_path / "out").iterdir()
    (pack / "tick-off.csv").write_text("filled in", "utf-8")
    made = girderply(capsys, "verify", str(pack))
    assert (made.code, "ERROR" in made.err) == (0, False)
    (pack / "yard.pdf").write_bytes(files["yard.pdf"] + b"% marked up")
    (pack / "order.csv").unlink()
    made = girderply(capsys, "verify", str(pack))
    assert made.code == 1
    assert re.findall(r"ERROR   (.*): not as", made.err) == ["order.csv (gone)", "yard.pdf"]
    assert "NOT AS MADE in 2 files; both engines agree" in made.out
