"""The drawing, read back pair by pair without a library, and by the library's auditor."""

from __future__ import annotations

import io
import math
from collections import Counter
from dataclasses import replace

import ezdxf
import ezdxf.recover
import numpy as np
import pytest
from dxf_tags import entities, header, tags
from ezdxf import bbox
from hand_girder import hand_schedule
from supplier import hostile, reworded, sample

from girderply.exchange.dxf_out import dxf_bytes, stage_layer
from girderply.exchange.dxf_text import dxf_text, table_name
from girderply.jobfile.job import UnitSystem

STEMS = ("two-ply-howe", "two-ply-imperial", "refused-shallow")


def read(data: bytes) -> ezdxf.document.Drawing:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


def inserts(drawing):
    return {i.get_attrib_text("ID"): i for i in drawing.modelspace().query("INSERT")}


@pytest.mark.parametrize("stem", STEMS)
def test_clean_audit_and_counts_of_the_schedule(stem):
    schedule = sample(stem)
    data = dxf_bytes(schedule)
    drawing, recovered = ezdxf.recover.read(io.BytesIO(data))
    for auditor in (recovered, drawing.audit()):
        assert not auditor.errors
        assert not auditor.fixes
    f = schedule.fasteners
    due = Counter(
        stage_layer(n, kind) for n, kind in zip(f.stage.tolist(), f.kind.tolist(), strict=True)
    )
    found: Counter[str] = Counter()
    outlines: Counter[str] = Counter()
    for kind, codes in entities(tags(data)):
        if kind == "INSERT":
            found[codes[8][0]] += 1
        elif kind == "LWPOLYLINE":
            assert codes[70] == ["1"], "closed"
            outlines[codes[8][0]] += 1
    assert {k: n for k, n in found.items() if k.startswith("STAGE-")} == due
    assert found["BRACKETS-FRONT"] + found["BRACKETS-BACK"] == len(schedule.girder.loads)
    assert outlines["MEMBERS"] == len(schedule.girder.members)
    assert outlines["PLATES"] == len(schedule.girder.plates)
    assert outlines["BEARINGS"] == len(schedule.girder.bearings)


@pytest.mark.parametrize(
    ("units", "codes", "station", "corner"),
    [
        (UnitSystem.METRIC, ("4", "1"), "127", 3000.0),
        (UnitSystem.IMPERIAL, ("1", "0"), "5", 3000 / 25.4),
    ],
)
def test_units_of_the_header_and_of_every_length(units, codes, station, corner):
    """$INSUNITS 4 is mm, 1 is inches; 127 mm is 5 in."""
    data = dxf_bytes(hand_schedule(units=units))
    found = tags(data)
    assert (header(found, "$INSUNITS"), header(found, "$MEASUREMENT")) == codes
    drawing = read(data)
    assert inserts(drawing)["BC1-N1"].get_attrib_text("STATION") == station
    chord = drawing.modelspace().query("LWPOLYLINE[layer=='MEMBERS']")[0]
    assert chord.get_points("xy")[2] == pytest.approx((corner, corner * 120 / 3000))


def test_attributes_and_place_of_a_bolt_and_a_nail():
    """The hand-made girder: BC1-N2 from the back through plies 3 to 2; W1-B1 a bolt through 1-3."""
    drawing = read(dxf_bytes(hand_schedule()))
    nail, bolt = (inserts(drawing)[name] for name in ("BC1-N2", "W1-B1"))
    assert {a.dxf.tag: a.dxf.text for a in nail.attribs} == {
        "ID": "BC1-N2", "KIND": "nail", "SPEC": "4.0 x 100", "MEMBER": "BC1", "JOINT": "",
        "STATION": "279.4", "STAGE": "1", "FACE": "back", "PLIES": "3-2", "PURPOSE": "transfer",
        "LOAD": "L1", "HOLE": "0", "CLENCH": "yes",
        "BENT-TO": "",
    }  # fmt: skip
    assert (nail.dxf.layer, bolt.dxf.layer) == ("STAGE-01-NAILS", "STAGE-02-BOLTS")
    assert bolt.dxf.insert.isclose((500.0, 333.33333, 0), abs_tol=1e-6)
    assert all(a.is_invisible for i in (nail, bolt) for a in i.attribs)


def test_blocks_are_of_true_size_and_show_the_head_side():
    """Head 8 mm, bolt 12 mm in a square washer of 40 mm; filled only where the head is in front."""
    drawing = read(dxf_bytes(hand_schedule()))
    names = {i.get_attrib_text("ID"): i.dxf.name for i in drawing.modelspace().query("INSERT")}
    front, back, bolt = (drawing.blocks[names[i]] for i in ("BC1-N1", "BC1-N2", "W1-B1"))
    assert [c.dxf.radius for c in front.query("CIRCLE")] == [4.0]
    assert (len(front.query("LWPOLYLINE")), len(back.query("LWPOLYLINE"))) == (1, 0)
    ring = front.query("LWPOLYLINE")[0].get_points("xyseb")
    assert max(abs(x) + width / 2 for x, _, width, _, _ in ring) == 4.0, "filled to the rim"
    assert [c.dxf.radius for c in bolt.query("CIRCLE")] == [6.0]
    square = bolt.query("LWPOLYLINE")[0].get_points("xy")
    assert {(abs(x), abs(y)) for x, y in square} == {(20.0, 20.0)}


def test_brackets_say_what_hangs_where_on_the_layer_of_their_face():
    load = replace(hand_schedule().girder.loads[0], face="back", what="Truss R9")
    schedule = hand_schedule()
    drawing = read(dxf_bytes(replace(schedule, girder=replace(schedule.girder, loads=(load,)))))
    mark = inserts(drawing)["L1"]
    assert (mark.dxf.layer, mark.get_attrib_text("WHAT")) == ("BRACKETS-BACK", "Truss R9")
    assert mark.get_attrib_text("STATION") == "300"


def test_words_of_a_job_stay_one_inert_line():
    data = dxf_bytes(hostile(sample("refused-shallow")))
    drawing = read(data)
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes
    words = [v for code, v in tags(data) if code == 1 and "$" not in v]
    assert not [w for w in words if "%%" in w or "\\" in w or "\r" in w]
    whats = {
        i.get_attrib_text("WHAT") for i in drawing.modelspace().query("INSERT[name=='BRACKET']")
    }
    assert whats == {"a   0 LINE  % %c% % %u /U+000A/M+1 ^ J"}
    plain = read(dxf_bytes(sample("refused-shallow")))
    assert len(drawing.modelspace()) == len(plain.modelspace()), "no entity came in by words"


@pytest.mark.parametrize(
    "text", ["%%%%%", "a%%%b", "%% %%", "^", "\\U+0041", "x\n0\nEOF", " \x85 "]
)
def test_text_is_inert(text):
    made = dxf_text(text)
    assert "%%" not in made
    assert "\\" not in made
    assert made.isprintable()
    assert dxf_text(text * 500)[:250] == dxf_text(text * 500)


def test_names_of_blocks_are_plain_and_never_fall_together():
    assert table_name('a/b "1/2" \u00fc') == "A-B-1-2"
    schedule = hand_schedule()
    spec = np.array(["4.0 x 100", "4.0*x*100", schedule.fasteners.spec[2]])
    made = read(dxf_bytes(replace(schedule, fasteners=replace(schedule.fasteners, spec=spec,
                          face=np.array(["front", "front", "front"])))))  # fmt: skip
    names = [i.dxf.name for i in made.modelspace().query("INSERT[layer=='STAGE-01-NAILS']")]
    assert len(set(names)) == 2


def test_member_names_are_never_upside_down():
    drawing = read(dxf_bytes(sample("two-ply-howe")))
    turns = [t.dxf.rotation for t in drawing.modelspace().query("TEXT[layer=='MEMBER-NAMES']")]
    assert len(turns) == len(sample("two-ply-howe").girder.members)
    assert all(math.cos(math.radians(t)) > -0.03 for t in turns)


def test_a_refused_girder_says_so_and_the_library_is_left_as_it_was():
    from ezdxf import options

    before = options.write_fixed_meta_data_for_testing
    texts = {t.dxf.text for t in read(dxf_bytes(hand_schedule())).modelspace().query("TEXT")}
    assert "NOT FOR ASSEMBLY" in texts
    assert options.write_fixed_meta_data_for_testing is before


def test_the_second_drawing_of_a_run_has_the_same_bytes():
    schedule = reworded(sample("refused-shallow"), revision="Q")
    assert dxf_bytes(schedule) == dxf_bytes(schedule)


@pytest.mark.parametrize("stem", STEMS)
def test_extents_hold_the_whole_drawing_and_the_view_shows_it(stem):
    """Measured by the library's own exact boxes, every block taken apart."""
    drawing = read(dxf_bytes(sample(stem)))
    low, high = (np.array(drawing.header[k][:2]) for k in ("$EXTMIN", "$EXTMAX"))
    box = bbox.extents(drawing.modelspace(), fast=True)
    size = np.array([box.size.x, box.size.y])
    assert (low <= np.array([box.extmin.x, box.extmin.y]) + 0.01 * size).all()
    assert (high >= np.array([box.extmax.x, box.extmax.y]) - 0.01 * size).all()
    assert ((high - low) <= 1.6 * size).all(), "no more than wide letters and a long name ask for"
    view = drawing.viewports.get("*Active")[0]
    assert view.dxf.height >= high[1] - low[1]


def test_layers_have_line_types_and_weights_and_what_is_assumed_is_dashed():
    schedule = sample("two-ply-howe")
    drawing = read(dxf_bytes(schedule))
    own = [layer for layer in drawing.layers if layer.dxf.name not in ("0", "Defpoints")]
    assert all(layer.dxf.lineweight > 0 and layer.dxf.linetype == "Continuous" for layer in own)
    weight = {layer.dxf.name: layer.dxf.lineweight for layer in own}
    assert weight["PLATES"] < weight["MEMBERS"] < weight["STAGE-01-NAILS"]
    lines = [p.dxf.linetype for p in drawing.modelspace().query("LWPOLYLINE[layer=='PLATES']")]
    assert [line == "DASHED" for line in lines] == [p.assumed for p in schedule.girder.plates]
    assert "DASHED" in drawing.linetypes


def test_every_load_has_an_arrow_with_its_name():
    schedule = sample("two-ply-howe")
    arrows = read(dxf_bytes(schedule)).modelspace().query("INSERT[layer=='LOADS']")
    found = {a.get_attrib_text("LOAD"): (a.dxf.insert.x, a.dxf.insert.y) for a in arrows}
    assert found == {x.id: pytest.approx((x.x, x.y), abs=1e-5) for x in schedule.girder.loads}
