"""A bracket that reaches all plies passes nothing on and is checked for splitting all the same."""

from jobs_in_text import Ask, job_text

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.checks import check_transfer

LOAD = """
[[loads]]
id = "L"
chord = "BC1"
face = "front"
at = "3 m"
permanent = "4 kN"
plies_reached = {reached}
[loads.bracket]
width = "100 mm"
height = "100 mm"
fixing = {{ d = 4, length = 100, number = 20 }}
"""


def split(reached):
    text = job_text(Ask(loads=LOAD.format(reached=reached)))
    checks = build_schedule(parse_job(text)).checks
    loaded = {c.id: c for c in checks if ".split." in c.id and ".ply" not in c.id}
    return loaded, [c for c in checks if ".i" in c.id]


def test_splitting_is_checked_whatever_the_bracket_reaches():
    """Into two plies instead of one: nothing goes on beside it, the same resistance."""
    one, passing = split(1)
    both, nothing = split(2)
    assert passing
    assert not nothing
    assert set(both) == set(one) == {"L.split.P"}
    assert 0.0 < both["L.split.P"].demand < one["L.split.P"].demand
    assert both["L.split.P"].resistance == one["L.split.P"].resistance


def test_a_load_with_no_fastener_nearer_to_it_than_to_the_next_is_checked_all_the_same():
    """What serves it stands farther off, within reach; the ply that receives it may split."""
    load = LOAD.format(reached=1)
    next_one = load.replace('"L"', '"M"').replace('"3 m"', '"3.4 m"')
    made = build_schedule(parse_job(job_text(Ask(loads=load + next_one))))
    f = made.fasteners
    near = (f.member == "BC1") & (f.station >= 3200.0)
    far = (f.member == "BC1") & (f.station < 3200.0)
    for left, gone in ((~near, "M"), (~far, "L")):
        checks = check_transfer(
            made.job, made.girder, made.rules, f.select(left), made.nails, made.bolts
        )
        told = {c.id: c for c in checks}
        assert told[f"{gone}.split.ply2.P"].demand > 0.0
        assert {c.id for c in made.checks if ".split." in c.id} <= set(told)
