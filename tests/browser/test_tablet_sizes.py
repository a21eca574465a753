"""The tablet page on a telephone, by day and by night: nothing is lost, all of it can be read."""

from __future__ import annotations

from pathlib import Path

import pytest
from browser import LANDSCAPE, PORTRAIT, open_counting, tablet
from desk_hands import axe
from inspection_records import sample

from girderply.papers.tablet.page_file import render_html

PHONE = {"width": 390, "height": 844}
TABS = ("mark", "counts", "sign", "record", "help")
OUTSIDE = """() => ['button', 'input', 'select', 'p', 'h3']
  .flatMap((what) => [...document.querySelectorAll(`#app ${what}`)])
  .filter((e) => e.offsetParent && !e.closest('#stages, #members'))
  .filter((e) => { const b = e.getBoundingClientRect();
    return b.left < -1 || b.right > innerWidth + 1
      || (e.scrollWidth > e.clientWidth + 1 && e.clientWidth); })
  .map((e) => e.id || e.textContent)"""
BRIGHT = """(what) => getComputedStyle(document.querySelector(what)).backgroundColor
  .match(/\\d+/g).slice(0, 3).map(Number)"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> dict[str, Path]:
    folder, schedule = tmp_path_factory.mktemp("sizes"), sample("two-ply-howe")
    made = {"open": render_html(open_counting(schedule)), "blind": render_html(schedule)}
    for name, html in made.items():
        (folder / f"{name}.html").write_text(html, "utf-8")
    return {name: folder / f"{name}.html" for name in made}


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize(
    "size", [PHONE, PORTRAIT, LANDSCAPE], ids=["phone", "portrait", "landscape"]
)
@pytest.mark.parametrize("name", ["open", "blind"])
def test_everything_fits_and_axe_finds_nothing_serious(browser, pages, name, size, light):
    with tablet(browser, pages[name], size) as t:
        t.page.emulate_media(color_scheme=light)
        t.member("BC1")
        for tab in TABS:
            t.press(f"#tab-{tab}")
            assert t.js("document.documentElement.scrollWidth - innerWidth") <= 0
            assert t.js(OUTSIDE) == [], tab
            assert [f for f in axe(t.page) if f.startswith("color-contrast")] == [], tab
        picture = t.page.locator("#picture").bounding_box()
        assert picture["height"] >= 100, "room for the drawing"
        assert t.said == []


@pytest.mark.parametrize(("light", "bright"), [("light", True), ("dark", False)])
def test_the_page_is_dark_where_the_screen_is_and_its_print_never(browser, pages, light, bright):
    with tablet(browser, pages["blind"], PHONE) as t:
        t.page.emulate_media(color_scheme=light)
        assert (min(t.js(BRIGHT, "body")) > 200) == bright
        assert (min(t.js(BRIGHT, "#picture")) > 200) == bright
        t.page.emulate_media(media="print", color_scheme=light)
        assert min(t.js(BRIGHT, "body")) == 255


def test_plates_that_are_assumed_are_dashed(browser, pages):
    dashes = """() => [...document.querySelectorAll('.plate')]
      .map((p) => getComputedStyle(p).strokeDasharray)"""
    with tablet(browser, pages["blind"], PORTRAIT) as t:
        shown = t.js(dashes)
    plates = sample("two-ply-howe").girder.plates
    assert [dash != "none" for dash in shown] == [p.assumed for p in plates]
    assert any(p.assumed for p in plates)


def test_names_of_members_do_not_lie_on_each_other_on_a_telephone(browser, pages):
    with tablet(browser, pages["blind"], PHONE) as t:
        shown = t.js("""() => [...document.querySelectorAll('.names text')]
          .filter((e) => e.getAttribute('visibility') === 'visible')
          .map((e) => { const b = e.getBoundingClientRect();
            return [e.textContent, b.left, b.right, b.top + 3, b.bottom - 3]; })""")
    assert {"TC1", "TC2", "BC1"} <= {name for name, *_ in shown}
    for k, (name, left, right, top, bottom) in enumerate(shown):
        for other, a, b, c, d in shown[k + 1 :]:
            assert right <= a or b <= left or bottom <= c or d <= top, (name, other)
