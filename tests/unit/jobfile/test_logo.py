"""A logo beside the job: what is let in can be drawn in an archive PDF, everything else is said."""

from __future__ import annotations

import io
import random
from dataclasses import replace

import pikepdf
import pytest
from inspection_records import sample
from PIL import Image

from girderply.errors import JobError
from girderply.jobfile.logo import MOST_BYTES, Logo, read_logo
from girderply.papers.page.blocks import Sheet, title
from girderply.papers.page.typeset import render_made
from girderply.wording import english

SHAPES = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><circle cx="10" cy="10" r="9"/>'
    '<rect x="20" width="18" height="9" opacity="0.5"/>{}</svg>'
)
PLAIN = SHAPES.format("").encode()


def picture(form: str, mode: str = "RGB", size=(40, 20), noise=True, **rest) -> bytes:
    """A picture as another program writes it, every pixel another colour."""
    pixels = size[0] * size[1] * 3
    every = random.Random(7).randbytes(pixels) if noise else bytes(pixels)
    saved = io.BytesIO()
    Image.frombytes("RGB", size, every).convert(mode).save(saved, form, **rest)
    return saved.getvalue()


GOOD = {
    "rgb.png": picture("PNG"),
    "clear.png": picture("PNG", "RGBA"),
    "grey.png": picture("PNG", "LA"),
    "few.png": picture("PNG", "P"),
    "one.png": picture("PNG", "1"),
    "colour.JPG": picture("JPEG"),
    "grey.jpeg": picture("JPEG", "L", progressive=True),
    "shapes.svg": PLAIN,
}
BAD = {
    "none.png": (None, "is not beside the job file"),
    "other.gif": (picture("GIF"), "a PNG, SVG or JPEG file is allowed"),
    "no-ending": (PLAIN, "a PNG, SVG or JPEG file is allowed"),
    "named-otherwise.png": (picture("JPEG"), "is no PNG file"),
    "named-otherwise.jpg": (picture("PNG"), "is no whole JPEG file"),
    "cut.png": (GOOD["rgb.png"][:-30], "cannot be drawn"),
    "cut.jpg": (GOOD["colour.JPG"][:-30], "is no whole JPEG file"),
    "empty.svg": (b"", "is no SVG file in UTF-8"),
    "utf16.svg": (PLAIN.decode().encode("utf-16"), "is no SVG file in UTF-8"),
    "page.svg": (b"<html><body/></html>", "is no SVG file in UTF-8"),
    "large.png": (bytes(MOST_BYTES + 1), "is larger than 300 kB"),
    "wide.png": (picture("PNG", "1", (9000, 500), noise=False), "9000 x 500 pixels"),
    "press.jpg": (picture("JPEG", "CMYK"), "inks of a press"),
    "letters.svg": (SHAPES.format("<text>Firm</text>").encode(), "letters as paths"),
    "script.svg": (SHAPES.format("<script/>").encode(), "holds <script>"),
    "fetched.svg": (SHAPES.format('<use href="file:///etc/passwd"/>').encode(), "from elsewhere"),
    "entity.svg": (b'<!DOCTYPE svg [<!ENTITY a "b">]>' + PLAIN, "defines entities"),
    "bomb.svg": (
        SHAPES.format(
            '<g id="a"><path d="M0 0h1"/></g><g id="b"><use href="#a"/><use href="#a"/></g>'
            '<use href="#b"/>'
        ).encode(),
        "repeats what repeats",
    ),
}  # fmt: skip


def drawn(logo: Logo | None) -> bytes:
    """One sheet with the logo in its title block."""
    schedule = replace(sample("two-ply-howe"), logo=logo)
    return render_made(schedule, [Sheet("one", "One", "A4", [title("One")])])


@pytest.mark.parametrize("name", GOOD)
def test_what_is_let_in_is_drawn_in_an_archive_pdf(name, tmp_path):
    (tmp_path / name).write_bytes(GOOD[name])
    pdf = drawn(read_logo(tmp_path, name))
    with pikepdf.open(io.BytesIO(pdf)) as book, book.open_metadata() as told:
        assert told.pdfa_status == "2A"  # ISO 19005-2: no plain PDF in its place
    assert len(pdf) > len(drawn(None)) + 100


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_drawn_is_refused_with_the_reason(name, tmp_path):
    content, said = BAD[name]
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(JobError) as refused:
        read_logo(tmp_path, name)
    (finding,) = refused.value.findings
    assert finding.where == "job.logo"
    assert said in english(finding.message)
    assert name in english(finding.message)


@pytest.mark.parametrize("name", ["../a.png", "in/a.png", "in\\a.png", "/tmp/a.png"])
def test_a_logo_lies_beside_its_job_and_nowhere_else(name, tmp_path):
    with pytest.raises(JobError, match="must lie beside the job file"):
        read_logo(tmp_path, name)


def test_a_link_out_of_the_folder_is_refused(tmp_path):
    (tmp_path / "secret.png").write_bytes(GOOD["rgb.png"])
    inner = tmp_path / "jobs"
    inner.mkdir()
    (inner / "a.png").symlink_to(tmp_path / "secret.png")
    with pytest.raises(JobError, match="leads out of the job's folder"):
        read_logo(inner, "a.png")


@pytest.mark.parametrize("name", ["rgb.png", "grey.jpeg", "shapes.svg"])
def test_a_spoilt_picture_is_refused_or_drawn(name, tmp_path):
    """Bytes changed, cut, doubled: never a fault, and never a sheet that cannot be laid out."""
    rng = random.Random(3)
    for _ in range(25):
        spoilt = bytearray(GOOD[name])
        for _ in range(rng.randrange(1, 4)):
            spoilt[rng.randrange(len(spoilt))] = rng.randrange(256)
        (tmp_path / name).write_bytes(
            spoilt[: rng.choice((len(spoilt), rng.randrange(len(spoilt))))]
        )
        try:
            logo = read_logo(tmp_path, name)
        except JobError:
            continue
        drawn(logo)
