"""The tablet page in French: fits both ways up, takes and writes numbers with a comma."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from browser import LANDSCAPE, PORTRAIT, open_counting, tablet
from inspection_records import ids, read_record, record, sample

from girderply.inspection.history import History
from girderply.papers.tablet.after import after
from girderply.papers.tablet.page_file import render_html

TOO_WIDE = """() => [...document.querySelectorAll('#app button, #app th, #app h3, #app .who span')]
  .filter((b) => b.offsetParent && b.scrollWidth > b.clientWidth + 1 && b.clientWidth > 0)
  .map((b) => b.textContent)"""


def french(name):
    schedule = sample(name)
    info = replace(schedule.job.info, language="fr")
    return replace(schedule, job=replace(schedule.job, info=info))


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> dict[str, Path]:
    """The first page of a girder, and the one that goes on from a record."""
    folder, schedule = tmp_path_factory.mktemp("french"), french("two-ply-howe")
    history = History(schedule)
    history.take(record(schedule, dict.fromkeys(ids(schedule, "BC1")[30:38], "missing")))
    made = {
        "first": render_html(open_counting(schedule)),
        "blind": render_html(schedule),
        "next": render_html(history.schedule, after(history)),
    }
    for name, html in made.items():
        (folder / f"{name}.html").write_text(html, "utf-8")
    return {name: folder / f"{name}.html" for name in made}


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("name", ["first", "blind", "next"])
def test_nothing_is_wider_than_its_place(browser, pages, name, size):
    with tablet(browser, pages[name], size) as t:
        t.member("BC1")
        t.js("drawing.shown.length && markPanel.choose(drawing.shown[0])")
        for tab in ("mark", "counts", "sign", "record", "help"):
            t.press(f"#tab-{tab}")
            assert t.js("document.documentElement.scrollWidth - innerWidth") <= 0
            assert t.js("byId('panel-body').scrollWidth - byId('panel-body').clientWidth") <= 0
            assert t.js(TOO_WIDE) == [], tab
        assert t.said == []


def test_numbers_have_a_comma_and_the_record_has_none(browser, pages, tmp_path):
    with tablet(browser, pages["first"]) as t:
        t.member("W2")
        t.tap_mark("W2-N1")
        t.press("#state-misplaced")
        t.type_in("#mark-by", "7,5")
        assert t.page.locator("#mark-by").input_value() == "7,5"
        assert "W2-N1\u00a0: Mal placé, 7,5\u00a0mm" in t.js(
            "countsPanel.faultWords(girder.index.get('W2-N1'), "
            "state.now.marks.get(girder.index.get('W2-N1')))"
        )
        path = t.export(tmp_path / "r.json")
    assert read_record(path, french("two-ply-howe")).marks[0].by_mm == 7.5
