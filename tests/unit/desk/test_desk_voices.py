"""One desk and two languages: each page is told in its own, whatever was asked before it."""

from __future__ import annotations

import pickle
import shutil
import time
from collections.abc import Iterator
from concurrent.futures import Future
from pathlib import Path

import pytest
from desk_server import Served, served

from girderply.desk.folder import Folder
from girderply.desk.forms import forms, kind_of
from girderply.desk.on_desk import OnDesk
from girderply.desk.overview import sketches
from girderply.desk.state import state_of
from girderply.desk.tasks import NoScheduleError
from girderply.desk.workers import outcome, waited
from girderply.errors import OutputError, words_of
from girderply.wording import ENGLISH, Voice, english, said, text

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
FRENCH = Voice("fr")
G1, BROKEN = "/girder/g1.toml", "/girder/broken.toml"
MEND_FIRST = said("desk.mend_first")


@pytest.fixture
def desk(tmp_path) -> Iterator[Served]:
    folder = tmp_path / "jobs"
    folder.mkdir()
    job = (SAMPLES / "two-ply-howe.toml").read_text("utf-8")
    (folder / "g1.toml").write_text(job, "utf-8")
    (folder / "broken.toml").write_text(job.replace("plies = 2", "plies = 1"), "utf-8")
    with served(folder) as found:
        yield found


@pytest.mark.parametrize("first", [ENGLISH, FRENCH])
def test_forms_and_sketches_are_kept_by_language_whoever_asked_first(first):
    """The kind of a field was once kept under English with the help of the page that asked."""
    forms.cache_clear()
    sketches.cache_clear()
    other = FRENCH if first is ENGLISH else ENGLISH
    for made in (forms, sketches):
        before = made(first)
        assert kind_of(("girder", "plies")) == "whole"
        assert made(other) != before
        assert made(first) == before
    helps = {v: forms(v)["tables"]["girder"][0]["help"] for v in (ENGLISH, FRENCH)}
    forms.cache_clear()
    assert helps == {v: forms(v)["tables"]["girder"][0]["help"] for v in (FRENCH, ENGLISH)}


def test_a_girder_is_told_in_each_language_at_once(tmp_path):
    shutil.copy(SAMPLES / "two-ply-howe.toml", tmp_path / "g1.toml")
    folder = Folder.at(tmp_path)
    girder = OnDesk(folder, "g1.toml", folder.read("g1.toml"))
    before = state_of(ENGLISH, girder)
    french = state_of(FRENCH, girder)
    assert french["figures"] != before["figures"]
    assert state_of(ENGLISH, girder) == before


@pytest.mark.parametrize("language", ["fr", "en", "en-US"])
def test_a_fault_of_the_process_beside_the_pages_is_told_as_the_page_speaks(desk, language):
    heads = {"Accept-Language": language}
    while "fault" not in (state := desk.ask("GET", f"{BROKEN}/pages/know", heads).data):
        time.sleep(0.2)
    assert state["fault"] == text(MEND_FIRST, language)
    whole = desk.ask("GET", f"{BROKEN}/file/pack.pdf", heads)
    assert (whole.status, whole.data["fault"]) == (422, text(MEND_FIRST, language))
    picture = desk.ask("GET", f"{BROKEN}/pages/know/0?density={state['density']}", heads)
    assert picture.data["fault"] == text(MEND_FIRST, language)


def test_a_fault_keeps_its_words_on_the_way_from_another_process():
    fault = NoScheduleError(MEND_FIRST)
    back = pickle.loads(pickle.dumps(fault))
    assert (words_of(back), str(back)) == (MEND_FIRST, english(MEND_FIRST))
    task: Future[None] = Future()
    task.set_exception(back)
    assert outcome(task) == {"fault": MEND_FIRST}
    assert words_of(ValueError()) == "ValueError"
    assert words_of(ValueError("a plain text")) == "a plain text"


def test_what_took_too_long_says_so_in_the_language_of_the_page(monkeypatch):
    monkeypatch.setattr("girderply.desk.workers.LONGEST", 0.0)
    with pytest.raises(OutputError) as caught:
        waited(Future())
    assert FRENCH.told(words_of(caught.value)).startswith("cela a pris trop de temps")
    assert str(caught.value) == "that took too long; try again"
