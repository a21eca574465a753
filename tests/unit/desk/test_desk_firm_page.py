"""The firm's file changed on its page: never left unusable, its mark kept beside the jobs."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from desk_server import Served, served

from girderply.desk.firm import read_firm
from girderply.desk.folder import Folder
from girderply.jobfile import parse_job
from girderply.wording import LANGUAGES

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0h9v9z"/></svg>'
PAGE = "/firm/change"


@pytest.fixture
def desk(tmp_path) -> Iterator[Served]:
    folder = tmp_path / "jobs"
    folder.mkdir()
    with served(folder) as found:
        yield found


def put(desk: Served, key: str, value: object):
    return desk.post(PAGE, {"key": key, "value": value})


def logo(desk: Served, name: str, data: bytes):
    head = {"Content-Type": "application/octet-stream"}
    return desk.ask("POST", f"/firm/logo?file={name}", head, data)


def on_disk(desk: Served) -> str:
    return (desk.folder / "firm.toml").read_text("utf-8")


def test_the_file_begins_with_a_name_and_new_girders_begin_with_what_it_says(desk):
    refused = put(desk, "paper", "A3")
    assert (refused.status, "name" in refused.data["fault"]) == (422, True)
    assert list(desk.folder.iterdir()) == []
    put(desk, "name", "Bois & Ç")
    for key, value in (("paper", "A3"), ("language", "fr"), ("rules", "french-36mm"),
                       ("saw", ["holes", "nails"]), ("bolts", ["M16"])):  # fmt: skip
        assert put(desk, key, value).data["values"][key] == value
    assert logo(desk, "Our%20mark.svg", SVG).data["values"]["logo"] == "Our-mark.svg"
    assert desk.get("/firm/logo").body == SVG
    made = desk.post("/new", {"kind": "howe", "span": "8 m", "keep": True}).data["name"]
    job = parse_job((desk.folder / made).read_text("utf-8"), folder=str(desk.folder))
    assert (job.info.prepared_by, str(job.info.language), job.info.logo) == (
        "Bois & Ç", "fr", "Our-mark.svg",
    )  # fmt: skip
    assert read_firm(Folder.at(desk.folder)).bolts() == ["M16"]
    assert "firm.toml" not in desk.get("/").text.partition('"names"')[2], "it is no job"


@pytest.mark.parametrize(
    ("key", "value"),
    [("name", ""), ("name", None), ("name", 7), ("paper", "A9"), ("language", "xx"),
     ("language", ["fr"]), ("units", "</script>"), ("nails", "3.1 x 90"), ("nails", [7]),
     ("saw", ["fly"]), ("logo", "../../etc/passwd"), ("logo", "missing.png"), ("screws", []),
     ("odd", "x"), ("counting", {"a": 1})],
)  # fmt: skip
def test_what_could_not_be_used_is_refused_in_words_and_not_written(desk, key, value):
    (desk.folder / "firm.toml").write_text('# ours\nname = "Demo firm"\npaper = "A4"\n')
    refused = put(desk, key, value)
    assert refused.status == 422
    assert refused.data["fault"]
    assert on_disk(desk) == '# ours\nname = "Demo firm"\npaper = "A4"\n'


def test_comments_and_screws_stay_and_a_value_can_go_again(desk):
    text = '# ours\nname = "Demo firm" # short\npaper = "A4"\nnails = ["3.1 x 90"]\n'
    (desk.folder / "firm.toml").write_text(text)
    put(desk, "nails", [])
    assert on_disk(desk) == text.replace('nails = ["3.1 x 90"]\n', "")
    put(desk, "paper", "A3")
    assert '# ours\nname = "Demo firm" # short\npaper = "A3"' in on_disk(desk)


def test_a_file_that_is_broken_is_said_and_not_written_over(desk):
    (desk.folder / "firm.toml").write_text("name = ")
    assert '"fault":""' not in desk.get("/firm").text
    assert put(desk, "name", "New").status in (400, 422)
    assert on_disk(desk) == "name = "
    assert desk.get("/").status == 200


@pytest.mark.parametrize(
    ("name", "data"),
    [("a.exe", SVG), ("a.svg", SVG.replace(b"path", b"script")), ("a.png", b"no picture"),
     ("a.svg", b"x" * 300_001), ("..%2F..%2Fa.svg", b""), ("", SVG)],
)  # fmt: skip
def test_a_picture_that_papers_cannot_show_is_refused_and_not_kept(desk, name, data):
    put(desk, "name", "Demo firm")
    refused = logo(desk, name, data)
    assert (refused.status, bool(refused.data["fault"])) == (422, True)
    assert [p.name for p in desk.folder.iterdir()] == ["firm.toml"]


def test_a_picture_is_never_written_over_another_file_or_through_a_link(desk, tmp_path):
    put(desk, "name", "Demo firm")
    outside = tmp_path / "outside.svg"
    outside.write_bytes(b"theirs")
    os.symlink(outside, desk.folder / "mark.svg")
    assert logo(desk, "..%2Fmark.svg", SVG).data["values"]["logo"] == "mark-2.svg"
    assert logo(desk, "mark.svg", SVG).data["values"]["logo"] == "mark-2.svg", "kept once"
    assert outside.read_bytes() == b"theirs"


def test_pictures_beside_the_jobs_are_offered_as_the_mark_of_a_job(desk):
    put(desk, "name", "Demo firm")
    logo(desk, "mark.svg", SVG)
    name = desk.post("/new", {"kind": "howe", "span": "8 m", "keep": True}).data["name"]
    page = desk.get(f"/girder/{name}").text
    block = json.loads(page.partition('id="data">')[2].partition("</script>")[0])
    assert block["forms"]["known"]["pictures"] == ["mark.svg"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_page_speaks_every_language(desk, language):
    put(desk, "name", "Demo firm")
    text = desk.get("/firm", Cookie=f"{desk.known.cookie_name}={desk.known.cookie}; "
                    f"girderply-desk-language={language}").text  # fmt: skip
    block = json.loads(text.partition('id="data">')[2].partition("</script>")[0])
    labels = [f["label"] for f in block["firm"]["fields"]]
    assert len(set(labels)) == len(labels) == 8
    assert ("Papier" in labels or "Format du papier" in labels) == (language == "fr")
    assert "3.1 x 90" in block["firm"]["stock"]["nails"]
    assert Path(desk.folder / "firm.toml").is_file()
