"""girderply verify on a PDF with files inside: read back, measured and judged again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, Final

from girderply.wording import english

if TYPE_CHECKING:
    from girderply.inspection.acceptance import Acceptance
    from girderply.papers.page.attached import Contents
    from girderply.schedule.types import Schedule

RECORD: Final = "record-"
SOURCES: Final = ("job.toml", "rules.toml")
CHANGED: Final = {
    "changed": "was changed after it was put in",
    "missing": "is missing",
    "not-listed": "was put in later",
    "twice": "stands there twice",
}


def is_pdf(path: Path) -> bool:
    """Whether a file begins as a PDF does, whatever its name.

    Raises:
        OSError: it cannot be read.
    """
    if path.is_dir():
        return False
    with path.open("rb") as stream:
        return stream.read(5) == b"%PDF-"


def verify_pdf(path: Path, trust: Sequence[Path] = ()) -> Iterator[tuple[bool, str]]:
    """What is found about a PDF, part by part: whether it is as it should be, and a sentence.

    Args:
        path: of the PDF.
        trust: certificates to trust a signature by.

    Raises:
        OSError: it cannot be read.
        AttachedError: there are no files with their list inside.
        SigningError: a signature or a certificate cannot be read.
    """
    from girderply.cli.lot_pages import DATA
    from girderply.papers.page.attached import read_attached

    pdf = path.read_bytes()
    inside = read_attached(pdf)
    for name, change in inside.changes.items():
        if change != "same":
            yield False, f"{name} {CHANGED[change]}"
    if inside.unchanged:
        names = ", ".join(inside.files)
        yield True, f"the files inside are as they were put in ({names}); list {inside.digest}"
    yield from _in_register(path, pdf)
    if "schedule.json" in inside.files:
        yield from _measured(inside.files["schedule.json"])
    certificate = any(name.startswith(RECORD) for name in inside.files)
    if certificate and inside.unchanged:
        with unpacked(inside) as folder:
            yield from _judged_again(pdf, inside, folder)
    if DATA in inside.files:
        return  # the page of a lot: its records are those of the girders
    if not certificate and all(inside.changes.get(name) in ("same", None) for name in SOURCES):
        with unpacked(inside) as folder:
            yield from _made_again(pdf, inside, folder)
    yield from _signed(pdf, trust)


def _in_register(path: Path, pdf: bytes) -> Iterator[tuple[bool, str]]:
    """What a register beside the file says of it."""
    from girderply.cli.accept import REGISTER
    from girderply.exchange.register.entry import Papers
    from girderply.exchange.register.store import read_chain

    register = path.parent / REGISTER
    if not register.is_file():
        return
    lines = [x for x in read_chain(register).lines if isinstance(x, Papers)]
    told = [x.files[path.name] for x in lines if path.name in x.files]
    if not told:
        yield False, "the register beside it does not name it"
    elif told[-1] == hashlib.sha256(pdf).hexdigest():
        yield True, "the register beside it names it as it is"
    else:
        yield False, "the register beside it names a file of other content"


def _measured(content: bytes) -> Iterator[tuple[bool, str]]:
    from girderply.verify import verify

    try:
        data: Any = json.loads(content)
        found = verify(data)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as fault:
        why = f": {fault}" if isinstance(fault, ValueError) else ""
        yield False, f"schedule.json cannot be measured{why}"
        return
    for d in found.disagreements:
        yield False, f"schedule.json, {d.what}: {d.text}"
    if found.agrees:
        yield (
            found.for_assembly,
            "both engines agree on schedule.json"
            + ("" if found.for_assembly else "; NOT FOR ASSEMBLY"),
        )


@contextmanager
def unpacked(inside: Contents) -> Iterator[Path]:
    """The files of a PDF in a folder that lasts as long as they are read."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        for file, content in inside.files.items():
            if file == Path(file).name:  # no path leads out of the folder
                (folder / file).write_bytes(content)
        yield folder


def _judged_again(pdf: bytes, inside: Contents, folder: Path) -> Iterator[tuple[bool, str]]:
    """Its records judged again by the job inside, and its pages made again."""
    import girderply
    from girderply.cli.work import make_schedule
    from girderply.errors import GirderplyError
    from girderply.inspection.acceptance import accepted_by

    said = json.loads(inside.files.get("schedule.json", b"{}"))
    by = said.get("generator", {}).get("version", "")
    records = sorted(folder.glob(f"{RECORD}*"), key=lambda p: int(p.stem.removeprefix(RECORD)))
    try:
        schedule = make_schedule(folder, _language_of(pdf))
        made = accepted_by(schedule, records)
    except GirderplyError as fault:
        yield False, f"the records cannot be judged again: {fault}"
        return
    same = schedule.content_hash == said.get("content_hash")
    yield same, "the job inside " + ("makes" if same else "does not make") + " that schedule"
    for text in made.lacking:
        yield False, f"it lacks: {english(text)}"
    if not made.lacking:
        last = made.last
        told = f"{len(records)} records judged again: ACCEPTED, no. {last.piece}, {last.inspector}"
        yield True, f"{told}, {last.date}"
        if by == girderply.__version__:
            yield _pages(pdf, certificate_again(schedule, made, records))
        else:
            yield True, f"made by version {by}: its pages are not compared"


def certificate_again(schedule: Schedule, made: Acceptance, records: list[Path]) -> bytes:
    """The certificate as these records give it."""
    from girderply.cli.accept import attached_to
    from girderply.papers.inspector.certificate import certificate_pdf

    return certificate_pdf(schedule, made, attached_to(schedule, made, records))


def _made_again(pdf: bytes, inside: Contents, folder: Path) -> Iterator[tuple[bool, str]]:
    """A pack's delivery.pdf made again from the job inside."""
    import girderply
    from girderply.cli.as_made import delivery_again
    from girderply.errors import GirderplyError
    from girderply.papers.page.attached import read_attached

    by = _version(inside)
    if by != girderply.__version__:
        yield True, f"made by version {by}: its pages are not compared"
        return
    try:
        again = delivery_again(folder, pdf)
    except GirderplyError as fault:
        yield False, f"it cannot be made again from the job inside: {fault}"
        return
    for name, content in read_attached(again).files.items():
        if inside.changes.get(name) == "same" and inside.files[name] != content:
            yield False, f"{name} is not what the job inside gives"
    yield _pages(pdf, again)


def _version(inside: Contents) -> str:
    try:
        return str(json.loads(inside.files["schedule.json"])["generator"]["version"])
    except (LookupError, ValueError, TypeError, RecursionError):
        return "unknown"


def _pages(pdf: bytes, again: bytes) -> tuple[bool, str]:
    """The pages made again against those there, as a viewer shows them at last."""
    from girderply.papers.page.pages_alike import shown_otherwise

    if pdf == again:
        return True, "its pages are as they were made"
    wrong = shown_otherwise(again, pdf)
    if wrong:
        return False, f"its pages were changed: {', '.join(wrong)}"
    if pdf.startswith(again):
        added = "something, such as a signature, was added behind them"
        return True, f"its pages are as they were made; {added}"
    return True, "its pages show what they showed; another program has saved the file since"


def _signed(pdf: bytes, trust: Sequence[Path]) -> Iterator[tuple[bool, str]]:
    """Who signed it, where anybody did; where that cannot be checked, that is said."""
    from girderply.exchange.signed import MISSING, SigningError, signatures

    if b"/ByteRange" not in pdf:
        return
    try:
        every = signatures(pdf, [p.read_bytes() for p in trust])
    except SigningError as fault:
        if str(fault) != MISSING:
            raise
        yield True, f"SIGNATURES NOT CHECKED: {fault}"
        return
    for one in every:
        if not one.intact:
            yield False, f"what {one.signer} signed was changed"
            continue
        how = "" if one.trusted else "; the certificate leads to none trusted here (--trust)"
        yield True, f"signed by {one.signer}{how}"
    if every and not every[-1].whole:
        yield True, "something was added to the file after its last signature"


def _language_of(pdf: bytes) -> str | None:
    from girderply.papers.page.attached import language_of
    from girderply.wording import LANGUAGES

    told = language_of(pdf)
    return told if told in LANGUAGES else None
