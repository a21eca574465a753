"""What a person types into a field: with a comma, in another language, over what was assumed."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from desk_server import served

from girderply.desk.all_words import words
from girderply.desk.amend import Edit
from girderply.desk.amounts import bare, pointed
from girderply.desk.folder import Folder
from girderply.desk.forms import forms, kind_of
from girderply.desk.hanging import read_loads
from girderply.desk.on_desk import OnDesk
from girderply.desk.overview import sketches, started
from girderply.jobfile import json_schema, new_job, parse_job, read_job
from girderply.wording import ENGLISH, Voice, said, text

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
NAMES = {"A4", "A3", "letter", "tabloid", "EN 1995-1-1", "NDS 2018", "Fe/Zn 12c", "Fe/Zn 25c",
         "Howe", "Pratt", "Warren"}  # fmt: skip


@pytest.fixture
def new(tmp_path) -> OnDesk:
    (tmp_path / "g1.toml").write_text(new_job("howe", "8.4 m"), "utf-8")
    folder = Folder.at(tmp_path)
    return OnDesk(folder, "g1.toml", folder.read("g1.toml"))


def assumed(girder: OnDesk) -> set[str]:
    return set(tomllib.loads(girder.text)["job"].get("assumed", ()))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("8,4 m", "8.4 m"), ("0,125 m", "0.125 m"), ("22,5", 22.5), ("1,1 kN", "1.1 kN"), ("6", 6),
     ("9,85 m", "9.85 m"), ("10,2505 m", "10.2505 m"), ("6 ft 3 1/2 in", "6 ft 3 1/2 in")],
)  # fmt: skip
def test_a_decimal_comma_is_a_point(typed, meant):
    assert bare(pointed(typed)) == meant


@pytest.mark.parametrize("typed", ["1,200 mm", "12,000", "1,200,000 mm", "-9,600 mm"])
def test_a_comma_that_may_part_thousands_is_left_to_be_refused(typed):
    assert pointed(typed) == typed
    found = read_loads(ENGLISH, f"{typed}\t1 kN", read_job(SAMPLES / "two-ply-howe.toml"), "BC1")
    assert (found.entries, len(found.faults)) == ([], 1)


def test_a_comma_typed_into_a_field_is_a_point_in_the_file(new):
    new.amend([Edit(("girder", "shape", "span"), "set", "8,6 m")])
    new.amend([Edit(("fastening", "order_allowance"), "set", "0,1")])
    new.amend([Edit(("job", "client"), "set", "Wood, 8,6 and sons")])
    data = tomllib.loads(new.text)
    assert data["girder"]["shape"]["span"] == "8.6 m"
    assert data["fastening"]["order_allowance"] == 0.1
    assert data["job"]["client"] == "Wood, 8,6 and sons", "a text stays as it was typed"
    assert new.decided().job is not None


def test_what_is_typed_over_is_no_longer_assumed(new):
    before = assumed(new)
    new.amend([Edit(("girder", "shape", "pitch"), "set", "30 deg")])
    assert before - assumed(new) == {"girder.shape.pitch"}
    new.amend([Edit(("loads", 0, "permanent"), "set", "1.4 kN")])
    assert before - assumed(new) == {"girder.shape.pitch", "loads.T1.permanent"}
    new.back()
    assert before - assumed(new) == {"girder.shape.pitch"}, "one step back undoes both"


def test_one_bearing_typed_says_nothing_of_the_other(new):
    before = assumed(new)
    new.amend([Edit(("girder", "bearings", 0, "width"), "set", "120 mm")])
    new.amend([Edit(("loads", 0, "bracket", "width"), "set", "90 mm")])
    assert assumed(new) == before


def test_a_load_that_goes_takes_its_assumed_values_along_and_a_new_name_keeps_them(new):
    mine = {k for k in assumed(new) if k.startswith("loads.T1.")}
    others = assumed(new) - mine
    new.amend([Edit(("loads", 0, "id"), "set", "A.1")])
    assert assumed(new) == others | {k.replace("loads.T1.", "loads.A.1.") for k in mine}
    assert new.decided().schedule is not None
    new.amend([Edit(("loads", 0), "drop")])
    assert assumed(new) == others
    new.back()
    new.amend([Edit(("loads", 0, "bracket"), "drop")])
    assert "loads.A.1.bracket" not in assumed(new)
    assert new.decided().schedule is not None


def test_an_assumed_value_that_was_taken_out_leads_nowhere(new):
    """The height may stand in the place of an assumed pitch."""
    shape = ("girder", "shape")
    new.amend([Edit((*shape, "pitch"), "drop"), Edit((*shape, "height"), "set", "2 m")])
    assert "girder.shape.pitch" not in assumed(new)
    assert new.decided().job is not None


def test_loads_hung_on_a_new_girder_take_the_place_of_the_example(tmp_path):
    (tmp_path / "g1.toml").write_text(new_job("howe", "8.4 m"), "utf-8")
    said = {"text": "every 600 from 600 to 7800, back, 1 kN + 2 kN", "chord": "BC1"}
    with served(tmp_path) as desk:
        assert desk.get("/girder/g1.toml/state").data["examples"] == 1
        kept = desk.post("/girder/g1.toml/loads", said | {"keep": True, "instead": True}).data
        loads = kept["data"]["loads"]
        assert [(each["face"], each["permanent"]) for each in loads] == [("back", "1 kN")]
        assert kept["examples"] == 0
        assert not any(k.startswith("loads.") for k in kept["data"]["job"]["assumed"])
        assert kept["verdict"]["state"] != "unread"
        again = desk.post("/girder/g1.toml/loads", said | {"keep": True, "instead": True}).data
        assert len(again["data"]["loads"]) == 2, "loads that somebody gave never go by themselves"


@pytest.mark.parametrize(
    "line", ["à 4800, arrière, 3,0 kN + 2,0 kN", "en 4800, arrière, 3 kN + 2 kN"]
)
def test_a_single_place_is_said_in_french_as_its_own_message_says(line):
    found = read_loads(ENGLISH, line, read_job(SAMPLES / "two-ply-howe.toml"), "BC1")
    assert found.faults == []
    entry = found.entries[0]
    assert (entry["at"], entry["face"], entry["permanent"]) == ("4800 mm", "back", "3 kN")
    assert "to" not in entry


@pytest.mark.parametrize("language", ["en", "fr"])
@pytest.mark.parametrize(
    ("key", "name", "total"),
    [
        ("hang_example", "two-ply-howe", 2700.0),
        ("hang_example_imperial", "two-ply-imperial", 610.0),
    ],
)
def test_the_example_that_the_page_shows_is_read(language, key, name, total):
    """1.1 + 1.6 kN, and 250 + 360 lbf."""
    job = read_job(SAMPLES / f"{name}.toml")
    found = read_loads(ENGLISH, text(said(f"desk.{key}"), language), job, "BC1")
    assert (found.faults, len(found.entries)) == ([], 1)
    entry = found.entries[0]
    both = [float(entry[k].split()[0]) for k in ("permanent", "variable")]
    assert sum(both) * (1000 if "kN" in entry["variable"] else 1) == pytest.approx(total)
    assert {"at", "to", "every"} <= entry.keys()


def test_a_girder_begun_on_a_french_page_has_french_papers(tmp_path):
    voice = Voice("fr")
    kept = started(voice, Folder.at(tmp_path), {"kind": "howe", "span": "8,4 m", "pitch": "25,5",
                                         "panels": "8", "keep": True})  # fmt: skip
    job = parse_job((tmp_path / kept["name"]).read_text("utf-8"))
    assert (str(job.info.language), job.info.title) == ("fr", "Ferme Howe, portée 8.4 m")
    assert len(job.girder.shape.kind) == 4
    assert job.girder.shape.panels == 8


def test_a_level_shape_is_begun_by_its_height(tmp_path):
    folder = Folder.at(tmp_path)
    takes = {s["kind"]: s["takes"] for s in sketches(ENGLISH)}
    assert ("pitch" in takes["howe"], takes["warren"]) == (True, ["height"])
    wish = {"kind": "warren", "span": "8 m", "height": "1,1 m"}
    assert "scene" in started(ENGLISH, folder, wish)
    wrong = started(ENGLISH, folder, wish | {"pitch": "30 deg"})
    assert "pitch" in wrong["findings"][0]["where"]
    assert "findings" in started(ENGLISH, folder, wish | {"panels": "many"})


def test_every_choice_has_words_in_every_language_and_french_ones_are_french():
    for place, fields in forms(ENGLISH)["tables"].items():
        for field in (f for f in fields if "choices" in f):
            assert len(field["words"]) == len(field["choices"])
            for choice, word in zip(field["choices"], field["words"], strict=True):
                english, french = text(word, "en"), text(word, "fr")
                same = english in NAMES or french in ("impérial (in, lbf)",)
                assert same or french != english, f"{place}.{field['key']}: {choice}"


def test_the_kind_of_every_field_is_found_by_its_path():
    assert kind_of(("girder", "shape", "span")) == "quantity"
    assert kind_of(("loads", 3, "at")) == "quantity"
    assert kind_of(("girder", "plates", 0, "joint")) == "text"
    assert kind_of(("loads", 0)) == kind_of(("nothing", "here")) == ""
    tops = set(json_schema()["properties"])
    voice = Voice("fr")
    assert {f"assumed_{top}" for top in tops} <= set(words(voice))
