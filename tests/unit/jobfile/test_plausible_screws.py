"""A declared screw that no screw is: refused, with the slip that is likely."""

import pytest
from every_key import BEARINGS, SCREW, SHAPE, head
from job_lines import findings_of

TEXT = head() + BEARINGS + SHAPE + SCREW


def refused(old, new):
    assert TEXT.count(old) == 1
    return [f for f in findings_of(TEXT.replace(old, new)) if f.code == "no-such-screw"]


def plain(text):
    return text.replace("\u00a0", " ")


def test_a_screw_that_is_one_is_let_through():
    assert findings_of(TEXT) == ()


@pytest.mark.parametrize(
    ("old", "new", "key", "meant"),
    [
        # Nm for Nmm, or the other way: the root of 3.9 mm bends at 200 to 1800 x 3.9^3 / 6 Nmm
        ("yield_moment = 9500", "yield_moment = 9500000", "yield_moment", "9500 Nmm"),
        ("yield_moment = 9500", "yield_moment = 9.5", "yield_moment", "9500 Nmm"),
        ('tension = "11 kN"', 'tension = "11 N"', "tension", "11.00 kN"),
        ('tension = "11 kN"', 'tension = "110 kN"', "tension", "11.00 kN"),
        ('withdrawal = "11.5 N/mm2"', 'withdrawal = "0.115 N/mm2"', "withdrawal", "11.5"),
        ('pull_through = "10.5 N/mm2"', 'pull_through = "105 N/mm2"', "pull_through", "10.5"),
        ('head = "12 mm"', 'head = "6.1 mm"', "head", ""),
        ('length = "100 mm"', 'length = "1000 mm"', "length", "100"),
    ],
)
def test_a_value_that_no_screw_has(old, new, key, meant):
    (found,) = refused(old, new)
    assert found.where == f"fastening.screws[1].{key}"
    assert meant in plain(found.tip)


def test_a_thread_of_half_a_millimetre():
    assert "fastening.screws[1].d" in {f.where for f in refused('d = "6 mm"', 'd = "0.6 mm"')}
