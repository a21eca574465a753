"""Labels, delivery note and workbook in the language of their jobs; what a register says of it."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import openpyxl
import pseudo_language
import pypdfium2
import pytest
from command import girderply
from hand_girder import hand_schedule
from supplier import SAMPLES, reworded, sample

import girderply as package
from girderply.exchange.register import Made, deliver, read_register
from girderply.exchange.xlsx_out import xlsx_bytes
from girderply.exchange.xlsx_tables import UNITS, tables
from girderply.papers.supplier.delivery_note import delivery_pdf, delivery_sheet
from girderply.papers.supplier.labels import _labels, labels_pdf
from girderply.schedule.contract import content_hash
from girderply.schedule.total import DeliveryError
from girderply.wording.messages import area

STEMS = ("two-ply-howe", "two-ply-imperial", "three-ply-pratt")
# Names and signs that are the same everywhere.
NAMES = {"DIN", "ISO", "EN", "NDS", "kN", "lbf", "mm", "girderply"}


def french(schedule):
    return reworded(schedule, language="fr")


def text(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        found = " ".join(page.get_textpage().get_text_bounded() for page in document)
    return re.sub(r"\s+", " ", found)


def known_words(stem: str) -> set[str]:
    """Words of the job, and what the schedule says, which its own tests look at."""
    s = sample(stem)
    said = [f.message for f in s.findings] + [f.tip for f in s.findings]
    said += [f.where for f in s.findings] + [line.note for line in s.order]
    said += [t for c in s.checks for t in (c.subject, c.mode, c.clause, c.id)]
    said += [
        c
        for c in (
            s.content_hash,
            s.content_hash[:12],
            *s.fasteners.spec.tolist(),
            *s.fasteners.load.tolist(),
        )
    ]
    said += [line.spec for line in s.order]
    words = " ".join(t for t in said if isinstance(t, str))
    return NAMES | pseudo_language.data_words(SAMPLES / f"{stem}.toml") | set(words_in(words))


def words_in(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]{3,}", text)


def unspoken(texts, stem: str) -> dict[str, list[str]]:
    known = known_words(stem)
    return {t: w for t in texts if (w := pseudo_language.unspoken(t, known))}


@pytest.mark.parametrize("stem", STEMS)
def test_no_word_of_a_delivery_note_is_written_into_the_code(stem):
    with pseudo_language.spoken():
        sheet = delivery_sheet([pseudo_language.in_it(sample(stem))], ["pack"])
        texts = list(pseudo_language.texts_of([sheet.title, *sheet.blocks]))
        assert unspoken([t for t in texts if t != "pack"], stem) == {}


@pytest.mark.parametrize("stem", STEMS)
def test_no_word_of_a_label_is_written_into_the_code(stem):
    with pseudo_language.spoken() as voice:
        (label, *_) = _labels(voice, sample(stem))
        skip = {"qr", "flags", "mark_size", "revision_size", "hash"}
        texts = pseudo_language.texts_of([v for k, v in label.items() if k not in skip])
        whole = [re.sub(r"\w+\u2026", "", t) for t in texts]  # a name of the job that was cut
        assert unspoken(whole, stem) == {}


@pytest.mark.parametrize("stem", STEMS)
def test_no_word_of_a_workbook_is_written_into_the_code(stem):
    schedule = sample(stem)
    with pseudo_language.spoken() as voice:
        made = tables(voice, [schedule], UNITS[schedule.job.info.units])
        cells = {str(v) for t in made for row in t.rows for v in row if isinstance(v, str)}
        heads = {c.head for t in made for c in t.columns} | {t.name for t in made}
        assert unspoken(sorted(cells | heads), stem) == {}


def test_every_word_of_the_workbook_is_said_somewhere():
    """Headings are said by name, so that nothing else looks whether one is left over."""
    folder = next(iter(package.__path__))
    code = "".join(
        (SAMPLES.parent / folder / "exchange" / name).read_text("utf-8")
        for name in ("xlsx_tables.py", "xlsx_out.py")
    )
    begun = ("purpose_", "severity_", "side_")
    left = [
        k
        for k in area("en", "workbook")
        if not k.startswith(begun) and not re.search(rf'"(workbook\.)?{k}"', code)
    ]
    assert left == []


def test_a_workbook_in_french_has_the_same_numbers():
    one, two = sample("two-ply-howe"), french(sample("two-ply-howe"))
    english = openpyxl.load_workbook(io.BytesIO(xlsx_bytes([one])))
    other = openpyxl.load_workbook(io.BytesIO(xlsx_bytes([two])))
    assert other.sheetnames == [
        "À propos", "Fixations", "Liste de commande", "Commande par ferme", "Contrôle",
        "Vérifications", "Remarques",
    ]  # fmt: skip
    numbers = [
        [[c.value for c in row if isinstance(c.value, int | float)] for row in sheet]
        for book in (english, other)
        for sheet in book
    ]
    half = len(numbers) // 2
    assert numbers[:half] == numbers[half:]
    heads = [c.value for c in other["Fixations"][1]]
    assert "cote (mm)" in heads
    assert {c.value for c in other["Fixations"]["E"]} == {"type", "pointe", "boulon"}


def test_labels_and_note_in_french():
    made = [french(sample("two-ply-howe")), french(sample("truncated-nodes"))]
    label, note = text(labels_pdf(made)), text(delivery_pdf(made, ["one", "two"]))
    for words in ("1 sur 2", "2 plis", "Masse du paquet", "Indice", "Empreinte du contenu"):
        assert words in label
    for words in ("Bon de livraison", "Contenu de la livraison", "Reçu par", "écrou", "rondelle"):
        assert words in note
    for english in ("Each ply", "Bundle", "Delivery", "Received", "Order"):
        assert english not in label + note


def test_a_delivery_speaks_one_language():
    made = [sample("two-ply-howe"), french(sample("truncated-nodes"))]
    for make in (delivery_pdf, labels_pdf, xlsx_bytes):
        with pytest.raises(DeliveryError, match=r"en and fr.*--language"):
            make(made)


def hashed(schedule):
    return replace(schedule, content_hash=content_hash(schedule))


def test_a_revision_issued_again_in_another_language_is_told(tmp_path):
    path = tmp_path / "register.jsonl"
    one, two = hashed(hand_schedule()), hashed(french(hand_schedule()))
    assert one.content_hash == two.content_hash
    english = {"pack.pdf": b"en", "order.csv": b"x"}
    first = deliver(path, [Made(one, english)])[0].entry
    assert "language" not in first.line, "a register of English issues reads as it always did"
    deliver(path, [Made(two, {"pack.pdf": b"fr", "order.csv": b"x"})])
    deliver(path, [Made(one, english)])
    assert [e.changes for e in read_register(path)] == [
        ("First issue.",),
        ("Same content, sheets in fr instead of en; files written anew: pack.pdf.",),
        ("Same content, sheets in en instead of fr; files written anew: pack.pdf.",),
    ]
    assert [e.language for e in read_register(path)] == ["en", "fr", "en"]


def test_issue_in_french_by_the_command(capsys, tmp_path):
    jobs = [SAMPLES / "two-ply-howe.toml"]
    ran = girderply(capsys, "issue", *jobs, "--out", tmp_path, "--language", "fr")
    assert ran.code == 0
    assert "first issue" in ran.out.lower(), "the shell stays English"
    assert "Bon de livraison" in text((tmp_path / "delivery-note.pdf").read_bytes())
    page = next(tmp_path.glob("*/tick-off.html")).read_text("utf-8")
    assert '<html lang="fr">' in page


def test_schedule_as_workbook_in_french(capsys, tmp_path):
    out = tmp_path / "s.xlsx"
    words = ("--format", "xlsx", "--language", "fr", "--out", out)
    assert girderply(capsys, "schedule", SAMPLES / "two-ply-howe.toml", *words).code == 0
    assert openpyxl.load_workbook(out).sheetnames[1] == "Fixations"
