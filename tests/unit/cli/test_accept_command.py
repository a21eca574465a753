"""girderply accept: no certificate while anything is lacking; verify reads one back.

What is asked is listed once more here, from what a quality lead must be able to prove later
(common practice, no source).
"""

from __future__ import annotations

import csv
import io
import json

import numpy as np
import pikepdf
import pypdfium2
import pytest
from command import girderply
from inspection_records import SAMPLES, ids, jpeg, record, record_data, sample

from girderply.exchange.register.entry import Papers
from girderply.exchange.register.store import read_chain
from girderply.inspection.acceptance import acceptance
from girderply.inspection.counts import blank_csv
from girderply.inspection.history import History
from girderply.inspection.record import RecordError
from girderply.wording import english

JOB = SAMPLES / "two-ply-howe.toml"


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


@pytest.fixture
def write(tmp_path):
    def written(data, name="record.json"):
        path = tmp_path / name
        text = data if isinstance(data, str) else json.dumps(data, ensure_ascii=False)
        path.write_text(text, "utf-8")
        return path

    return written


def judged(schedule, data):
    history = History(schedule)
    history.take(record(schedule) if data is None else record(schedule, **data))
    return acceptance(history)


def stages(schedule, **other):
    """What was seen of the stages, each with these parts otherwise."""
    return [s | other for s in record_data(schedule)["stages"]]


def test_a_perfect_record_lacks_nothing(howe):
    assert judged(howe, None).lacking == ()


LACKS = {
    "name": ({"inspector": " "}, "inspector's name"),
    "date": ({"date": "soon"}, "date of the inspection"),
    "date before the drawings": ({"date": "2020-01-01"}, "before the drawings"),
    "note": ({"note": "ply 2 is broken"}, "ply 2 is broken"),
    "gap": ({"plies": {"gap_mm": None, "alignment_mm": 0.0}}, "gap between the plies"),
    "alignment": ({"plies": {"gap_mm": 0.0, "alignment_mm": None}}, "out of line"),
    "hold points": ({"signatures": []}, "not signed"),
    "order": (
        {
            "signatures": [
                {"stage": 1, "name": "A", "date": "2026-11-26"},
                {"stage": 2, "name": "A", "date": "2026-11-25"},
            ]
        },
        "which covers it",
    ),
}


@pytest.mark.parametrize("what", LACKS)
def test_each_thing_that_is_lacking_is_said(howe, what):
    data, words = LACKS[what]
    assert any(words in english(text) for text in judged(howe, data).lacking)


@pytest.mark.parametrize(
    ("part", "value", "words"),
    [
        ("nails", [], "fastener size"),
        ("finish", "", "finish"),
        ("washers", None, "washers"),
        ("clenched", None, "clench"),
        ("clenched", 3, "clench"),
        ("nails", [{"d_mm": 3.1, "length_mm": 75.0, "read_from": "box"}], "3.1"),
        ("washers", "other", "not as drawn"),
    ],
)
def test_each_thing_that_a_stage_lacks_is_said(howe, part, value, words):
    lacking = judged(howe, {"stages": stages(howe, **{part: value})}).lacking
    assert any(words in english(text) for text in lacking)


def test_everything_that_is_lacking_is_said_at_once(howe):
    data = {"inspector": "", "signatures": [], "stages": [], "note": "a crack"}
    told = " ".join(
        english(text)
        for text in judged(howe, data | {"states": {howe.fasteners.id[0]: "split"}}).lacking
    )
    for words in ("inspector's name", "not signed", "fastener size", "a crack"):
        assert words in told


def test_values_that_nobody_confirmed_keep_the_certificate_back():
    schedule = sample("six-ply")
    still = [a.key for a in schedule.unconfirmed]
    lacking = judged(schedule, None).lacking
    assert still
    assert all(any(key in english(text) for text in lacking) for key in still)


def test_the_second_engine_has_a_say(howe):
    """What is judged good by mistake is measured by another engine: half the chord is gone."""
    history = History(howe)
    history.take(record(howe))
    gone = dict.fromkeys(ids(howe, "BC1")[::2], "missing")
    history.merged = record(howe, gone)
    assert any("second engine" in english(text) for text in acceptance(history).lacking)


def test_a_certificate_is_read_back(capsys, tmp_path, howe, write):
    path = write(record_data(howe))
    ran = girderply(capsys, "accept", JOB, path, "--out", tmp_path)
    assert ran.code == 0, ran.err
    (made,) = tmp_path.glob("*.pdf")
    with pikepdf.open(made) as book:
        inside = {n: a.get_file().read_bytes() for n, a in book.attachments.items()}
        status = book.open_metadata().pdfa_status
    assert status == "3A"
    assert inside["record-1.json"] == path.read_bytes()
    assert inside["job.toml"] == JOB.read_bytes()
    assert json.loads(inside["schedule.json"])["content_hash"] == howe.content_hash
    assert any(shows_the_photo(made, page) for page in range(5))
    ran = girderply(capsys, "verify", made)
    assert ran.code == 0, ran.err
    assert "1 records judged again: ACCEPTED" in ran.out
    assert "pages are as they were made" in ran.out
    # the same again is the same file; another one does not take its place
    before = made.read_bytes()
    assert girderply(capsys, "accept", JOB, path, "--out", tmp_path).code == 0
    other = write(record_data(howe, inspector="C. Other"), "other.json")
    assert girderply(capsys, "accept", JOB, other, "--out", tmp_path).code == 0
    assert made.read_bytes() == before
    assert len(list(tmp_path.glob("*.pdf"))) == 2


def shows_the_photo(path, number):
    """Whether a page, as another program draws it, has a square of the photo's colour."""
    with pypdfium2.PdfDocument(path) as book:
        if number >= len(book):
            return False
        pixels = book[number].render(scale=1).to_numpy().astype(int)[..., :3]
    close = np.abs(pixels - [40, 120, 200]).max(axis=2) < 12  # blue, green, red
    return int(close.sum()) > 1000


def spoilt(made, change):
    with pikepdf.open(made, allow_overwriting_input=True) as book:
        change(book)
        book.save(made)


def another_name(book):
    text = book.attachments["record-1.json"].get_file().read_bytes()
    text = text.replace(b"A. Inspector", b"B. Inspector")
    book.attachments["record-1.json"] = pikepdf.AttachedFileSpec(
        book, text, filename="record-1.json"
    )


def one_page_less(book):
    del book.pages[-1]


def nothing(_):
    """Saved by another program, and nothing more."""


@pytest.mark.parametrize(
    ("change", "code", "words"),
    [
        (another_name, 1, "record-1.json was changed"),
        (one_page_less, 1, "its pages were changed"),
        (nothing, 0, "another program has saved the file"),
    ],
)
def test_what_was_changed_in_a_certificate_is_named(capsys, tmp_path, write, howe, change, code, words):  # fmt: skip  # noqa: E501
    path = write(record_data(howe))
    assert girderply(capsys, "accept", JOB, path, "--out", tmp_path).code == 0
    (made,) = tmp_path.glob("*.pdf")
    spoilt(made, change)
    ran = girderply(capsys, "verify", made)
    assert ran.code == code
    assert words in ran.out + ran.err


def test_refused_says_what_is_missing_and_writes_nothing(capsys, tmp_path, write, howe):
    path = write(record_data(howe, inspector="", note="a crack in ply 2"))
    ran = girderply(capsys, "accept", JOB, path, "--out", tmp_path)
    assert ran.code == 1
    assert "inspector's name" in ran.err
    assert "a crack in ply 2" in ran.err
    assert not list(tmp_path.glob("*.pdf"))


def filled(schedule, piece):
    """The tick-off table as a careful inspector fills it in."""
    rows = list(csv.DictReader(io.StringIO(blank_csv(schedule))))
    said = {
        "finish": "zinc", "washers as drawn": "yes", "signed by": "P. Paper",
        "signed on": "2026-11-26", "inspector": "P. Paper", "date": "2026-11-26", "gap mm": "0",
        "alignment mm": "1", "note": "",
    }  # fmt: skip
    for row in rows:
        row["piece"] = piece
        row["found"] = row["due"] if row["member"] else said.get(row["kind"], row["due"])
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0].keys())
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def test_paper_and_tablet_of_two_pieces_at_once(capsys, tmp_path, write, howe):
    paper = write(filled(howe, 2), "two.csv")
    tablet = write(record_data(howe, inspector=""), "one.json")
    ran = girderply(capsys, "accept", JOB, tablet, paper, "--out", tmp_path)
    assert ran.code == 1
    assert "no. 1 is not certified" in ran.err
    assert "no. 2: ACCEPTED" in ran.out
    (made,) = tmp_path.glob("*.pdf")
    assert "no-2-accepted" in made.name
    assert girderply(capsys, "verify", made).code == 0


def test_a_table_without_its_piece_is_sent_back(capsys, tmp_path, write, howe):
    ran = girderply(capsys, "accept", JOB, write(filled(howe, ""), "t.csv"), "--out", tmp_path)
    assert ran.code == 2
    assert "piece" in ran.err


def test_a_photo_that_is_none_is_refused(howe):
    for content, width in (("/9j/AAAA", 40), (jpeg(40, 30), 41)):
        photo = {"of": "stage 1", "taken": "", "width": width, "height": 30, "jpeg": content}
        with pytest.raises(RecordError, match=r"photos\[1\]\.jpeg"):
            record(howe, photos=[photo])
    photo = {"of": "stage 9", "taken": "", "width": 40, "height": 30, "jpeg": jpeg(40, 30)}
    with pytest.raises(RecordError, match="neither a stage nor a fastener"):
        record(howe, photos=[photo])


def test_the_register_of_the_delivery_names_it(capsys, tmp_path, write, howe):
    delivery = tmp_path / "delivery"
    assert girderply(capsys, "issue", JOB, "--out", delivery).code == 0
    (pack,) = (p.parent for p in delivery.glob("*/issued.txt"))
    ran = girderply(capsys, "accept", pack, write(record_data(howe)))
    assert ran.code == 0, ran.err
    assert "named by the register" in ran.out
    (made,) = delivery.glob("*accepted.pdf")
    last = read_chain(delivery / "register.jsonl").lines[-1]
    assert isinstance(last, Papers)
    assert (last.packs, set(last.files)) == ((pack.name,), {made.name})
    assert "names it as it is" in girderply(capsys, "verify", made).out
    count = len(read_chain(delivery / "register.jsonl").lines)
    assert girderply(capsys, "accept", pack, write(record_data(howe))).code == 0
    assert len(read_chain(delivery / "register.jsonl").lines) == count
    spoilt(made, one_page_less)
    ran = girderply(capsys, "verify", made)
    assert (ran.code, "names a file of other content" in ran.err) == (1, True)


def test_it_speaks_the_language_of_the_sheets(capsys, tmp_path, write, howe):
    path = write(record_data(howe))
    assert girderply(capsys, "accept", JOB, path, "--out", tmp_path, "--language", "fr").code == 0
    (made,) = tmp_path.glob("*.pdf")
    ran = girderply(capsys, "verify", made)
    assert (ran.code, "pages are as they were made" in ran.out) == (0, True)
