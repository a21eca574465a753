"""Reading a record: what is refused, in whose words, and the hash of what is read."""

from __future__ import annotations

import hashlib
import json

import pytest
from inspection_records import read_record, record, record_data, sample

from girderply.inspection.record import RecordError, canonical, follows, parse_record, record_hash
from girderply.wording import english


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


def refused(data, schedule):
    text = data if isinstance(data, str) else json.dumps(data)
    with pytest.raises(RecordError, match=r"\S") as caught:
        parse_record(text, schedule)
    return {f.where: english(f.message) for f in caught.value.findings}


def test_canonical_is_sorted_without_spaces_and_whole_numbers_have_no_point():
    """Typed by hand after RFC 8785, 3.2: what a browser's JSON.stringify gives for sorted keys."""
    data = {"b": [12.0, 7.5, None], "a": 'ä"\n\x01', "c": {"z": True, "y": 1}}
    expected = '{"a":"ä\\"\\n\\u0001","b":[12,7.5,null],"c":{"y":1,"z":true}}'
    assert canonical(data) == expected.encode()
    assert record_hash(data) == hashlib.sha256(expected.encode()).hexdigest()


def test_hash_of_a_record_is_of_its_content_not_of_its_spacing(howe):
    data = record_data(howe, {"BC1-N3": ("misplaced", 12, "")})
    one = parse_record(json.dumps(data), howe)
    two = parse_record(json.dumps(dict(reversed(data.items())), indent=3), howe)
    assert one.hash == two.hash == record_hash(data)
    assert parse_record(json.dumps(data | {"note": "x"}), howe).hash != one.hash


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("job", "RH-999"),
        ("mark", "G7"),
        ("revision", "Z"),
        ("content_hash", "0123456789abcdef" * 4),
    ],
)
def test_another_girder_is_refused_naming_both(howe, key, value):
    data = record_data(howe)
    found = refused(data | {key: value}, howe)
    assert list(found) == [key]
    assert value in found[key]
    assert data[key] in found[key]


def test_every_fault_at_once(howe):
    data = record_data(howe) | {"revision": "Z", "piece": 0, "extra": 1}
    del data["note"]
    data["marks"][0]["state"] = "goood"
    data["marks"][2]["by_mm"] = 5
    found = refused(data, howe)
    assert set(found) == {"revision", "piece", "extra", "note", "marks[1].state", "marks[3]"}


def test_unknown_and_doubled_ids_and_pieces_beyond_the_number(howe):
    data = record_data(howe)
    data["marks"][1]["id"] = "BC1-N999"
    data["marks"][5]["id"] = data["marks"][4]["id"]
    data["piece"] = howe.girder.quantity + 1
    data["signatures"] = [{"stage": 9, "name": "x", "date": ""}]
    found = refused(data, howe)
    assert set(found) == {"marks[2].id", "marks", "piece", "signatures[1].stage"}
    assert data["marks"][4]["id"] in found["marks"]


def test_counts_that_the_girder_does_not_have(howe):
    data = record_data(howe, only=[])
    count = {"member": "BC1", "stage": 1, "row": None, "kind": "nail", "due": 3, "found": 3}
    data["counts"] = [count, count | {"member": "BC9"}, count | {"row": 1, "due": 35}]
    found = refused(data, howe)
    assert set(found) == {"counts[1]", "counts[2]", "counts[3]"}
    f = howe.fasteners
    all_of_it = int(((f.member == "BC1") & (f.kind == "nail")).sum())
    assert f"3 are required, the schedule has {all_of_it}" in found["counts[1]"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "no json",
        "[]",
        "null",
        '{"a": NaN}',
        '{"job": "a", "job": "b"}',
        "[" * 100_000,
        '{"piece": ' + "9" * 5000 + "}",
    ],
)
def test_what_is_no_record_is_refused_in_words(howe, text):
    assert refused(text, howe)


@pytest.mark.parametrize("by", [-1.0, 1e9, 1e-9, True, "12"])
def test_distances_that_nobody_measures(howe, by):
    name = howe.fasteners.id[0]
    data = record_data(howe, {name: ("misplaced", by, "")})
    assert any(where.startswith("marks[1].by_mm") for where in refused(data, howe))


def test_half_a_surrogate_pair_is_refused(howe):
    assert "note" in refused(json.dumps(record_data(howe, note="\ud800")), howe)


def test_files(howe, tmp_path):
    path = tmp_path / "r.json"
    path.write_bytes(b"\xef\xbb\xbf" + json.dumps(record_data(howe)).encode())
    assert read_record(path, howe).job == howe.job.info.number
    path.write_bytes(b"\xff\xfe{")
    with pytest.raises(RecordError, match="UTF-8"):
        read_record(path, howe)
    path.write_bytes(b" " * 20_000_001)
    with pytest.raises(RecordError, match="20 MB"):
        read_record(path, howe)
    with pytest.raises(RecordError, match="cannot be read"):
        read_record(tmp_path, howe)


def test_each_record_must_name_the_one_before_it(howe):
    first = record(howe)
    second = record(howe, note="second", previous=first.hash)
    follows([first, second])
    with pytest.raises(RecordError, match=first.hash) as caught:
        follows([first, record(howe, previous="ab" * 32)])
    assert "abab" in str(caught.value)
