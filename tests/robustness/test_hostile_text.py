"""Whatever a stranger writes into a job is text in everything that is made of it.

The expected is the text itself, or nothing: these tests hold no recorded output.
"""

from __future__ import annotations

import base64
import csv
import io
import json
import tomllib
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pikepdf
import pytest
from browser import chromium
from command import girderply
from job_mutations import as_text

from girderply.cli.pack import pack_files
from girderply.errors import JobError
from girderply.exchange.names import RESERVED
from girderply.exchange.pack_files import data_files, pack_name
from girderply.jobfile.reader import parse_job
from girderply.papers.supplier.batch_summary import line_of, summary_html
from girderply.schedule.build_schedule import build_schedule

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "two-ply-howe.toml"
SVG = "{http://www.w3.org/2000/svg}"
INERT = {
    "markup": '</title></style></text><script>alert(1)</script><img src=x onerror="alert(2)">',
    "attribute": "\"><svg onload=alert(1)> ' onmouseover='alert(2)",
    "typst": '#panic("x") #read("/etc/passwd") *b* _i_ $x$ @a <b> `c` \\ ] [ } {',
    "jinja": "{{ 7 * 7 }} {% for x in () %} {# gone #} {{ self.__init__ }}",
    "formula": '=HYPERLINK("http://x.example","go")',
    "formula plus": "+1+cmd|' /C calc'!A0",
    "formula at": "@SUM(1+1)",
    "formula minus": "-2+3",
    "path": "../../../../tmp/x",
    "windows path": "C:\\Windows\\..\\x:y|z*?",
    "reserved": "CON",
    "group codes": "0 SECTION 2 ENTITIES 0 ENDSEC 0 EOF %%c {\\fArial|b1;x}",
    "format": "%s %n {0} {0.__class__} $(id) `id` ${HOME} && rm -rf /",
    "entities": "&amp; &lt;b&gt; &#x3c; <![CDATA[ ]]> <!-- --> <?xml?> &x;",
    "many letters": "Ärger 木 🔨 ﷽ é " + "W" * 40,
}
DRAWN = ("markup", "typst", "jinja", "entities", "many letters")  # the others are plain to a sheet
REFUSED = {
    "terminal": "\x1b[2J\x1b]0;title\x07 \x9b31m",
    "right to left": "good \u202edoog\u202c",
    "isolates": "\u2066x\u2069",
    "zero": "a\0b",
    "two lines": "a\nb",
    "line separator": "a\u2028b",
    "ten thousand letters": "x" * 10_000,
    "private": "\ue000",
}
LONGEST = {"number": 60, "revision": 20, "mark": 40}
FIELDS = ("title", "prepared_by", "checked_by", "client", "site", "truss_designer")


def job_with(text: str) -> str:
    """The sample with one text in every field that takes free text."""
    data = tomllib.loads(SAMPLE.read_text("utf-8"))
    data["job"] |= dict.fromkeys(FIELDS, text) | {"notes": [text, text]}
    data["job"] |= {name: text[: LONGEST[name]] for name in ("number", "revision")}
    data["girder"]["mark"] = text[: LONGEST["mark"]]
    for load in data["loads"]:
        load["what"] = text
    return as_text(data)


@pytest.fixture(scope="module", params=INERT, ids=lambda k: k.replace(" ", "-"))
def made(request):
    """A hostile text, its schedule, and the data of its pack."""
    schedule = build_schedule(parse_job(job_with(INERT[request.param])))
    return INERT[request.param], schedule, data_files(schedule)


@pytest.fixture(scope="module", params=DRAWN, ids=lambda k: k.replace(" ", "-"))
def drawn(request):
    """A hostile text, its schedule, and every file of its pack."""
    schedule = build_schedule(parse_job(job_with(INERT[request.param])))
    return INERT[request.param], schedule, pack_files(schedule)


PLAIN = {"svg", "title", "rect", "g", "path", "circle", "text", "defs", "symbol", "use", "image"}
PICTURE = "data:image/svg+xml;base64,"


def inert_words(data: bytes) -> set[str]:
    """Every text of a drawing and of the drawings in it, once nothing in them can do anything."""
    words = set()
    for element in ET.fromstring(data).iter():
        assert element.tag.removeprefix(SVG) in PLAIN
        assert not [a for a in element.attrib if a.lower().startswith("on")]
        for name, value in element.attrib.items():
            if name.endswith("href"):
                assert value.startswith(("#", PICTURE))
                if value.startswith(PICTURE):
                    words |= inert_words(base64.b64decode(value.removeprefix(PICTURE)))
        words.add(element.text or "")
    return words


def test_svg_holds_it_as_text_only(drawn):
    text, _, files = drawn
    drawings = [data for name, data in files.items() if name.endswith(".svg")]
    assert drawings
    words = {word for data in drawings for word in inert_words(data)}
    assert any(text[: LONGEST["revision"]].strip() in w for w in words)


def test_pdf_can_do_nothing(drawn):
    text, _, files = drawn
    with pikepdf.open(io.BytesIO(files["yard.pdf"])) as pdf:
        assert text[: LONGEST["mark"]].strip() in str(pdf.docinfo["/Title"])
        assert not {"/OpenAction", "/AA", "/AcroForm"} & set(pdf.Root.keys())
        names = pdf.Root.get("/Names", {})
        assert "/JavaScript" not in names
        assert "/EmbeddedFiles" not in names
        for item in pdf.objects:
            if isinstance(item, pikepdf.Dictionary):
                assert item.get("/S") not in ("/JavaScript", "/Launch", "/URI", "/SubmitForm")


def test_csv_has_no_formula(made):
    _, _, files = made
    for name in ("schedule.csv", "order.csv"):
        rows = list(csv.reader(io.StringIO(files[name].decode("utf-8-sig"), newline="")))
        width = {len(row) for row in rows}
        assert len(width) == 1
        for cell in (c for row in rows for c in row):
            number = cell.lstrip("-").replace(".", "", 1).replace("e-", "", 1).isdigit()
            assert number or cell[:1] not in "=+-@\t\r" or cell == ""


def test_names_of_files_stay_inside(made):
    _, schedule, files = made
    for name in [pack_name(schedule), *files]:
        for part in name.split("/"):
            stem = part.split(".")[0]
            assert part not in ("", ".", "..")
            assert stem.upper() not in RESERVED
            assert not set(part) & set('\\:*?"<>|')
            assert part.isprintable()
            assert len(part.encode()) <= 255


def test_json_holds_it_word_for_word(made):
    text, _, files = made
    told = json.loads(files["schedule.json"])
    assert told["job"]["title"] == text
    assert told["girder"]["mark"] == text[: LONGEST["mark"]]
    assert {load["what"] for load in told["loads"]} == {text}


class Tags(HTMLParser):
    """Every element and attribute of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs


def test_summary_page_has_no_more_elements_than_with_plain_text(made):
    _, schedule, _ = made
    plain = build_schedule(parse_job(job_with("plain words")))
    counts = []
    for s in (schedule, plain):
        page = Tags()
        page.feed(summary_html([line_of("a.toml", s, pack_name(s), redone=True)]))
        counts.append(page.tags)
        assert not [a for a, _ in page.attributes if a.startswith("on")]
    assert counts[0] == counts[1]


def test_summary_page_in_a_real_browser(tmp_path):
    """Nothing runs, nothing is fetched, and sorting works under the page's own policy."""
    lines = [
        line_of(f"{key}.toml", s, pack_name(s), redone=True)
        for key in ("markup", "attribute", "jinja")
        for s in [build_schedule(parse_job(job_with(INERT[key])))]
    ]
    page_file = tmp_path / "summary.html"
    page_file.write_text(summary_html(lines), "utf-8")
    said, asked = [], []
    with chromium() as browser:
        page = browser.new_page()
        page.on("console", lambda m: said.append(m.text))
        page.on("pageerror", lambda e: said.append(str(e)))
        page.on("dialog", lambda d: (said.append(d.message), d.dismiss()))
        page.on("request", lambda r: asked.append(r.url))
        page.goto(page_file.as_uri())
        assert page.locator("tbody tr").count() == 3
        job_files = page.locator("tbody tr td:nth-child(13)")
        page.get_by_role("button", name="Job file").click()
        rising = job_files.all_inner_texts()
        page.get_by_role("button", name="Job file").click()
        assert job_files.all_inner_texts() == rising[::-1]
        assert rising == ["attribute.toml", "jinja.toml", "markup.toml"]
        assert INERT["markup"][:40] in page.locator("tbody").inner_text()
    assert said == []
    assert asked == [page_file.as_uri()]


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_printed_is_refused_in_printable_words(name):
    with pytest.raises(JobError) as caught:
        parse_job(job_with(REFUSED[name]))
    assert len(caught.value.findings) >= len(FIELDS)
    for finding in caught.value.findings:
        line = f"{finding.where}: {finding.message} {finding.tip}".replace("\u00a0", " ")
        assert line.isprintable()
        assert len(line) < 1000


@pytest.mark.parametrize("name", [*INERT, *REFUSED])
def test_no_escape_code_reaches_the_terminal(capsys, tmp_path, name):
    job = tmp_path / "job.toml"
    job.write_text(job_with((INERT | REFUSED)[name]), "utf-8")
    ran = girderply(capsys, "check", job)
    assert ran.code == (0 if name in INERT else 2)
    for line in (ran.out + ran.err).split("\n"):
        assert line.replace("\u00a0", " ").isprintable()


def test_a_file_name_that_steers_a_terminal_is_shown_without(capsys, tmp_path):
    job = tmp_path / "a\x1b[31m\u202eb.toml"
    job.write_text("no toml", "utf-8")
    for words in (["check", job], ["batch", job, "--out", tmp_path / "out"]):
        ran = girderply(capsys, *words)
        assert ran.code in (1, 2)
        assert "\x1b" not in ran.out + ran.err
        assert "\u202e" not in ran.out + ran.err
