"""The tablet page as text: its policy, its data, its words; no browser here."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pseudo_language
import pytest
from due_rows import due_rows
from made_girder import made_schedule

from girderply.drawing.resources import template_folder
from girderply.jobfile.job import UnitSystem
from girderply.jobfile.reader import read_job
from girderply.papers.tablet.page_data import STATES, groups, tablet_data
from girderply.papers.tablet.page_file import SCRIPTS, json_block, render_html, where_words
from girderply.papers.tablet.page_words import words
from girderply.schedule import cautions
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import ENGLISH, english

SAMPLES = Path(__file__).parents[4] / "sample_jobs"
NASTY = "</script><script>alert(1)</script><!-- ]]> \u2028 & \"'<img src=x onerror=alert(2)>"


def in_french(schedule):
    info = replace(schedule.job.info, language="fr")
    return replace(schedule, job=replace(schedule.job, info=info))


class Reader(HTMLParser):
    """What a browser would see: elements in order, texts of scripts and styles."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.raw: list[tuple[str, dict[str, str | None], str]] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        if self.tags and self.tags[-1][0] in {"script", "style"} and data.strip():
            self.raw.append((*self.tags[-1], data))

    def policy(self) -> dict[str, str]:
        content = next(a["content"] for t, a in self.tags if "http-equiv" in a)
        return dict(part.strip().partition(" ")[::2] for part in content.split(";"))


def digest(text: str) -> str:
    """[W3C CSP Level 2, 4.2.5]: base64 of the sha256 of what stands between the tags."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_policy_names_exactly_what_is_inside():
    page = Reader(render_html(made_schedule()))
    policy = page.policy()
    code = [text for tag, attrs, text in page.raw if tag == "script" and "type" not in attrs]
    style = [text for tag, _, text in page.raw if tag == "style"]
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == digest(*code)
    assert policy["style-src"] == digest(*style)
    assert policy["base-uri"] == policy["form-action"] == "'none'"


def test_nothing_is_fetched_and_no_attribute_runs():
    page = Reader(render_html(made_schedule(title=NASTY)))
    for tag, attrs in page.tags:
        assert tag not in {"link", "img", "iframe", "object", "embed", "base"}
        assert not {"src", "href", "srcset", "style"} & set(attrs)
        assert not [name for name in attrs if name.startswith("on")]
    html = render_html(made_schedule())
    assert set(re.findall(r"https?://[\w./-]+", html)) == {"http://www.w3.org/2000/svg"}


@pytest.mark.parametrize("field", ["number", "title", "revision", "client"])
def test_a_text_full_of_markup_stays_text(field):
    plain = Reader(render_html(made_schedule()))
    html = render_html(made_schedule(**{field: NASTY}))
    page = Reader(html)
    assert [t for t, _ in page.tags] == [t for t, _ in plain.tags]
    assert "<script>alert" not in html
    assert "\u2028" not in html.split('id="data">')[1].split("</script>")[0]


def test_block_gives_back_every_text():
    said = {"a": NASTY, "b": ["</SCRIPT>", "\\u003c", "é", "\x00"]}
    text = json_block(said)
    assert not set("<>&\u2028\u2029") & set(text)
    assert json.loads(text) == said


def test_data_in_the_page_is_the_data():
    schedule = made_schedule(plies=3, title=NASTY)
    page = Reader(render_html(schedule))
    (text,) = (text for tag, attrs, text in page.raw if attrs.get("type") == "application/json")
    assert json.loads(text) == tablet_data(ENGLISH, schedule)


@pytest.mark.parametrize("stem", [p.stem for p in sorted(SAMPLES.glob("*.toml"))])
def test_lines_are_those_of_the_paper(stem):
    """The tick-off sheet on paper and the tablet count the same rows."""
    schedule = build_schedule(read_job(SAMPLES / f"{stem}.toml"))
    said = words(ENGLISH)
    found = [
        (g["stage"], schedule.girder.members[g["member"]].id, g["kind"], g["face"], g["due"])
        for g in groups(schedule)
    ]
    paper = [
        (stage.number, row.member, row.kind, row.face, row.due)
        for stage in schedule.stages
        for row in due_rows(schedule, stage)
    ]
    assert found == paper
    assert sum(due for *_, due in found) == len(schedule.fasteners)
    assert all(where_words(said, g) for g in groups(schedule))


def test_every_mark_counts_once_in_its_own_group():
    schedule = made_schedule(plies=3)
    data, f = tablet_data(ENGLISH, schedule), schedule.fasteners
    counted = np.bincount(data["marks"]["group"], minlength=len(data["groups"]))
    assert counted.tolist() == [g["due"] for g in data["groups"]]
    for i in (0, 17, len(f) - 1):
        group = data["groups"][data["marks"]["group"][i]]
        assert data["members"][group["member"]]["id"] == f.member[i]
        assert (group["stage"], group["kind"], group["face"]) == (f.stage[i], f.kind[i], f.face[i])
        assert data["marks"]["id"][i] == f.id[i]
        assert data["marks"]["x"][i] == pytest.approx(f.x[i], abs=0.05)


def test_job_units_only():
    """34.25 in is 869.95 mm [NIST SP 811: 1 in = 25.4 mm exactly]."""
    schedule = made_schedule(units=UnitSystem.IMPERIAL)
    f = schedule.fasteners
    station = f.station.copy()
    station[3] = 869.95
    data = tablet_data(ENGLISH, replace(schedule, fasteners=replace(f, station=station)))
    assert data["marks"]["station"][3] == "2'-10\u00a01/4\""
    assert (data["units"]["unit"], data["units"]["size"]) == ("in", 25.4)
    assert "mm" not in json.dumps(data["units"])


def test_metric_station():
    assert (
        tablet_data(ENGLISH, made_schedule())["marks"]["station"][0] == "95"
    )  # 75 + 20, as strewn


def test_cautions_and_failures_are_there():
    html = render_html(made_schedule(failed=True, assumed=True))
    assert english(cautions.not_for_assembly()) in html
    assert "12 mm short" in html
    data = tablet_data(ENGLISH, made_schedule(failed=True, assumed=True))
    said = [cautions.demo(), cautions.plates_assumed(), *cautions.scope()]
    assert data["cautions"] == list(map(english, said))
    assert tablet_data(ENGLISH, made_schedule(demo=False))["cautions"] == list(
        map(english, cautions.scope())
    )


def test_same_schedule_same_bytes():
    assert render_html(made_schedule(plies=4)) == render_html(made_schedule(plies=4))


def test_every_script_is_in_and_every_file_is_used():
    folder = template_folder() / "html"
    assert sorted(SCRIPTS) == sorted(p.name for p in folder.glob("*.js"))
    html = render_html(made_schedule())
    for name in SCRIPTS:
        assert (folder / name).read_text("utf-8") in html


def test_words_that_scripts_ask_for_exist_and_none_is_left_over():
    folder = template_folder() / "html"
    code = "".join(p.read_text("utf-8") for p in sorted(folder.iterdir()))
    code += Path(render_html.__code__.co_filename).read_text("utf-8")
    page = (folder / "tablet.html").read_text("utf-8")
    asked = set(re.findall(r"say\(\s*'([\w-]+)'", code)) | set(re.findall(r"words\.(\w+)", page))
    known = set(words(ENGLISH))
    assert asked - known == set()
    unused = {k for k in known - asked if not re.search(rf"['\"`]{re.escape(k)}['\"`]", code)}
    built = (
        "state_",
        "tap_",
        "tab_",
        "head_",
        "face_",
        "seen_",
        "refuse_",
        "open_",
        "decide_",
        "shift_",
    )
    kinds = {"nail", "nails", "bolt", "bolts", "screw", "screws"}
    assert {k for k in unused if not k.startswith(built)} - kinds == set()
    assert {f"state_{s}" for s in STATES} <= known


def visible(html: str) -> list[str]:
    """Texts of the page that a reader sees before any script runs."""

    class Texts(HTMLParser):
        def __init__(self) -> None:
            super().__init__()
            self.hidden, self.found = "", []

        def handle_starttag(self, tag, attrs):  # noqa: ARG002 - the name is the library's
            self.hidden = tag if tag in ("script", "style") else self.hidden

        def handle_endtag(self, tag):
            self.hidden = "" if tag == self.hidden else self.hidden

        def handle_data(self, data):
            if not self.hidden:
                self.found.append(data)

    texts = Texts()
    texts.feed(html)
    return texts.found


@pytest.mark.parametrize("stem", ["two-ply-howe", "two-ply-imperial"])
def test_no_word_of_the_page_is_written_into_the_code(stem):
    job = SAMPLES / f"{stem}.toml"
    schedule = build_schedule(read_job(job))
    known = pseudo_language.data_words(job) | {"DIN", "mm"}
    # What the schedule itself says of its stages is told by the tests of the layout.
    told_by_schedule = [
        t for s in schedule.stages for t in (s.title, english(s.hold_point)) if isinstance(t, str)
    ]
    for text in (schedule.content_hash, *told_by_schedule):
        known |= set(re.findall(r"[^\W\d_]{3,}", text))
    with pseudo_language.spoken() as voice:
        data = tablet_data(voice, schedule)
        texts = visible(render_html(pseudo_language.in_it(schedule)))
        seen = [*texts, *data["cautions"], data["units"]["tolerance"]]
        found = {t: w for t in seen if (w := pseudo_language.unspoken(t, known))}
    assert found == {}


def test_a_page_in_french():
    html = render_html(in_french(made_schedule(plies=3)))
    data = tablet_data(ENGLISH, made_schedule())
    assert '<html lang="fr">' in html
    assert "Ce navigateur ne garde rien\u00a0: exporter" in html
    assert data["language"] == "en"
    for word in ("Tap a fastener", "Hold point", "Not looked at", "Record as text"):
        assert word not in html
