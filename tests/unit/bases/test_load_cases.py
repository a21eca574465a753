"""Load cases: every combination of EN 1990 (6.10) and of ASCE 7 allowable stress that may hurt."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_lines import BASE, findings_of, spoilt

from girderply.bases.registry import basis_of, spec_of
from girderply.bases.spec import BasisSpec, Case
from girderply.jobfile import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import english

G = Case("G", "permanent", True, "permanent")
S = Case("S", "snow", False, "short", 0.5)
Q = Case("Q", "imposed", False, "medium", 0.7)
W = Case("W", "wind", False, "instantaneous", 0.6)


@dataclass(frozen=True)
class Load:
    face: str
    values: dict[str, float] = field(default_factory=dict)

    def part(self, name: str) -> float:
        return self.values.get(name, 0.0)


def made(spec: BasisSpec, *loads: Load) -> dict[str, tuple[str, str, float]]:
    found = basis_of(spec).combinations(spec, loads)
    return {c.code: (english(c.text), c.duration, c.modification) for c in found}


def en(*cases: Case, **changes: object) -> BasisSpec:
    return replace(spec_of(**changes), cases=cases)  # type: ignore[arg-type]


def test_snow_imposed_and_lifting_wind_by_hand():
    """Permanent, snow and imposed press, wind lifts, one face.

    6.10 from memory: 1.35 G + 1.5 Q_lead + 1.5 psi_0 Q; wind helps where the rest presses, so it is
    left out there, and the others where it lifts: 1.0 G + 1.5 W. Snow is short, imposed
    medium: without snow k_mod is 0.8 instead of 0.9, so imposed alone is a combination of its own.
    """
    load = Load("front", {"G": 3e3, "S": 2e3, "Q": 4e3, "W": -5e3})
    assert made(en(G, S, Q, W), load) == {
        "G": ("1.35 G", "permanent", 0.6),
        "G+S+Q": ("1.35 G + 1.5 S + 1.05 Q", "short", 0.9),
        "G+Q+S": ("1.35 G + 1.5 Q + 0.75 S", "short", 0.9),
        "G+Q": ("1.35 G + 1.5 Q", "medium", 0.8),
        "Gmin+W": ("1 G + 1.5 W", "instantaneous", 1.1),
    }


def test_wind_that_lifts_the_back_face_only_adds_to_what_presses_the_front():
    """Front: G 3, S 2; back: W -5. Most passes between the plies with S and W at once."""
    loads = Load("front", {"G": 3e3, "S": 2e3}), Load("back", {"W": -5e3})
    codes = set(made(en(G, S, W), *loads))
    assert {"G+S+W", "G+W+S", "G+S", "G+W", "Gmin+W", "G"} <= codes
    assert "Gmin+S" not in codes
    assert "Gmin+S+W" not in codes


def test_cases_of_one_group_never_meet():
    left, right = (replace(W, id=name, group="wind") for name in ("WL", "WR"))
    codes = set(made(en(G, left, right), Load("front", {"G": 1e3, "WL": 2e3, "WR": 3e3})))
    assert codes == {"G", "G+WL", "G+WR"}


def test_a_case_that_presses_here_and_lifts_there_counts_in_both_ways():
    loads = Load("front", {"G": 1e3, "W": 2e3, "S": 1e3}), Load("front", {"G": 1e3, "W": -3e3})
    codes = set(made(en(G, S, W), *loads))
    assert {"G+S", "G+S+W", "G+W+S", "Gmin+W"} <= codes


def test_allowable_stress_by_hand():
    """ASCE 7-16, 2.4.1 from memory: D; D + L; D + S; D + 0.75 L + 0.75 S; 0.6 D + 0.6 W lifting."""
    cases = (
        Case("D", "dead", True, "permanent"),
        Case("L", "live", False, "ten years"),
        Case("S", "snow", False, "two months"),
        Case("W", "wind", False, "ten minutes"),
    )
    spec = replace(spec_of("NDS 2018"), cases=cases)
    load = Load("front", {"D": 3e3, "L": 4e3, "S": 2e3, "W": -5e3})
    assert made(spec, load) == {
        "D": ("1 D", "permanent", 0.9),
        "D+L": ("1 D + 1 L", "ten years", 1.0),
        "D+S": ("1 D + 1 S", "two months", 1.15),
        "D+L+S": ("1 D + 0.75 L + 0.75 S", "two months", 1.15),
        "D+W": ("1 D + 0.6 W", "ten minutes", 1.6),
        "Dmin+W": ("0.6 D + 0.6 W", "ten minutes", 1.6),
    }
    presses = replace(load, values=load.values | {"W": 5e3})
    assert set(made(spec, presses)) == {"D", "D+L", "D+S", "D+L+S", "D+W", "D+L+S+W"}
    assert made(spec, presses)["D+L+S+W"][0] == "1 D + 0.75 L + 0.75 S + 0.45 W"


KINDS = {"permanent": (True, "permanent"), "imposed": (False, "medium"), "snow": (False, "short"),
         "wind": (False, "instantaneous")}  # fmt: skip


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    values=st.lists(
        st.tuples(st.sampled_from(["front", "back"]), *[st.integers(-3, 3)] * 4),
        min_size=1, max_size=3,
    )
)  # fmt: skip
def test_nothing_worse_than_the_listed_ones_can_be_combined(values):
    """Against every choice of acting cases, leader and permanent factor, written out."""
    names = dict(zip("GQSW", KINDS, strict=True))
    cases = [Case(i, kind, *KINDS[kind], 0.6) for i, kind in names.items()]
    spec = en(*cases)
    loads = [Load(face, dict(zip("GQSW", rest, strict=True))) for face, *rest in values]
    basis = basis_of(spec)
    listed = basis.combinations(spec, loads)
    for signs in product((1, -1, 0), repeat=2):
        weight = dict(zip(("front", "back"), signs, strict=True))

        def effect(factors, weight=weight):
            terms = [(x, c, f) for x in loads for c, f in factors.items()]
            return sum(weight[x.face] * f * x.part(c) for x, c, f in terms)

        each = [effect({t.part: t.factor for t in c.terms}) / c.modification for c in listed]
        ours = max(0.0, *each) if each else 0.0
        worst = 0.0
        for g, acting in product((1.35, 1.0), product((0, 1), repeat=3)):
            there = [c for c, on in zip("QSW", acting, strict=True) if on]
            for leader in there or [""]:
                factors = {"G": g} | {c: 1.5 * (1 if c == leader else 0.6) for c in there}
                durations = ["permanent", *(KINDS[names[c]][1] for c in there)]
                _, k_mod = basis.shortest(spec, durations)
                worst = max(worst, effect(factors) / k_mod)
        assert ours >= worst - 1e-9


CASES = """
[[basis.cases]]
id = "G"
kind = "permanent"
[[basis.cases]]
id = "S"
kind = "snow"
duration = "short"
factor = 0.5
[[basis.cases]]
id = "W"
kind = "wind"
what = "lifting"
"""


HEAD, TAIL = BASE[: BASE.index("[[loads]]")], BASE[BASE.index("[basis]") :]
LOADS = """\
[[loads]]
id = "F"
chord = "BC1"
face = "front"
at = "1.5 m"
to = "7.5 m"
every = 1500
{values}
[loads.bracket]
width = "90 mm"
height = "150 mm"
"""


def in_parts(values: str) -> str:
    return HEAD + LOADS.format(values=values) + TAIL


def in_cases(values: str = 'G = "3 kN", S = "2 kN", W = "-6 kN"') -> str:
    return in_parts(f"cases = {{ {values} }}").replace("[fastening]", CASES + "[fastening]")


@pytest.mark.parametrize(
    ("old", "new", "code", "where", "said"),
    [
        ('kind = "snow"', 'kind = "dead"', "unknown-choice", "basis.cases[2].kind",
         '"dead" is no kind of action of EN 1995-1-1'),
        ('kind = "snow"', 'kind = "sno"', "unknown-choice", "basis.cases[2].kind", "is not one of"),
        ('duration = "short"', 'duration = "two months"', "unknown-choice",
         "basis.cases[2].duration", "is no load duration of EN 1995-1-1"),
        ('id = "S"', 'id = "G"', "twice", "basis.cases[1].id", "more than once"),
        ('S = "2 kN"', 'Z = "2 kN"', "unknown-choice", "loads[1].cases.Z", "no load case"),
        (', W = "-6 kN"', "", "unused-case", "basis.cases[3]", 'no load has a value for "W"'),
        ("every = 1500", 'every = 1500\nvariable = "1 kN"', "cases-or-parts",
         "loads[1].variable", "a load gives its value per case"),
        ('id = "S"', 'id = "front"', "bad-value", "basis.cases[2].id", "no name of a load case"),
        ("service_class = 2", 'variable_duration = "short"', "cases-or-parts",
         "basis.variable_duration", "a load case has a duration of its own"),
        ("factor = 0.5", "factor = 1.5", "bad-value", "basis.cases[2].factor", "at most 1"),
    ],
)  # fmt: skip
def test_cases_that_do_not_agree_are_refused(old, new, code, where, said):
    found = {(f.code, f.where): f.message for f in findings_of(spoilt(old, new, in_cases()))}
    assert (code, where) in found
    assert said in english(found[code, where])


def test_values_by_case_without_cases_are_refused():
    text = in_parts('cases = { S = "1 kN" }')
    assert any("no [[basis.cases]] is declared" in english(f.message) for f in findings_of(text))


def test_a_job_in_cases_goes_the_whole_way():
    job = parse_job(in_cases())
    load = job.loads[0]
    assert (load.permanent, load.variable, load.uplift) == (3000.0, 2000.0, 6000.0)
    data = to_contract(build_schedule(job))
    assert [c["id"] for c in data["cases"]] == ["G", "S", "W"]
    assert [c["factor"] for c in data["cases"]] == [1.0, 0.5, 0.6]
    assert data["cases"][2]["duration"] == "short"
    told = {c["code"]: (c["factors"], c["duration"]) for c in data["combinations"]}
    assert told == {
        "G": ({"G": 1.35}, "permanent"),
        "G+S": ({"G": 1.35, "S": 1.5}, "short"),
        "Gmin+W": ({"G": 1.0, "W": 1.5}, "short"),
    }
    assert data["loads"][0]["cases_N"] == {"G": 3000.0, "S": 2000.0, "W": -6000.0}
    assert data["loads"][0]["design_N"] == pytest.approx(1.35 * 3000 + 1.5 * 2000)
    ends = {c["id"].rpartition(".")[2] for c in data["checks"]}
    assert ends == {"G", "G+S", "Gmin+W"}


def test_one_case_of_each_sort_is_the_short_way():
    """G, one variable and one lifting case with the factors of the short way: the same checks."""
    parts = 'permanent = "1 kN"\nvariable = "1.5 kN"\nuplift = "4 kN"'
    data = to_contract(build_schedule(parse_job(in_parts(parts))))
    cases = in_cases('G = "1 kN", S = "1.5 kN", W = "-4 kN"')
    cases = cases.replace('duration = "short"\nfactor = 0.5', 'duration = "medium"')
    other = to_contract(build_schedule(parse_job(cases)))
    rename = {"P": "G", "PV": "G+S", "U": "Gmin+W"}
    ours = {c["id"]: c["utilisation"] for c in other["checks"]}
    assert len(ours) == len(data["checks"]) > 0
    for check in data["checks"]:
        head, _, code = check["id"].rpartition(".")
        assert ours[f"{head}.{rename[code]}"] == pytest.approx(check["utilisation"], abs=2e-3)


@pytest.mark.parametrize(
    "text", [in_parts('permanent = "1 kN"'), in_cases()], ids=["parts", "cases"]
)
def test_what_a_job_changes_of_its_basis_is_told_on_the_cover(text):
    plain = build_schedule(parse_job(text))
    assert not any(f.code == "basis-changed" for f in plain.findings)
    text = spoilt("service_class = 2", "service_class = 2\ngamma_variable = 1.2", text)
    (told,) = [f for f in build_schedule(parse_job(text)).findings if f.code == "basis-changed"]
    assert "gamma_variable 1.2 (usual 1.5)" in english(told.message)
