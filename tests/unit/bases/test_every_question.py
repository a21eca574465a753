"""A basis answers, or is refused by its name: nothing answers in its place."""

from __future__ import annotations

import inspect
from itertools import product

import pytest
from job_lines import BASE, findings_of, spoilt

from girderply.bases import registry
from girderply.bases.protocol import Basis
from girderply.errors import CatalogueError, UnansweredError
from girderply.jobfile.jsonschema import json_schema
from girderply.jobfile.schema_basis import owners
from girderply.wording import english


class Silent(Basis):
    """Answers nothing."""

    name, document, units = "XX 2025", "XX 2025, first edition", "metric"


def questions() -> dict[str, object]:
    """Every question of the protocol by its name."""
    return {
        name: thing
        for name, thing in vars(Basis).items()
        if not name.startswith("_")
        and name != "refuse"
        and (inspect.isfunction(thing) or isinstance(thing, property))
    }


QUESTIONS = questions()


def ask(basis: Basis, question: str) -> object:
    """Put a question, with nothing in particular."""
    thing = QUESTIONS[question]
    if isinstance(thing, property):
        return getattr(basis, question)
    needed = list(inspect.signature(thing).parameters)[1:]  # type: ignore[arg-type]
    answer = getattr(basis, question)(*[None] * len(needed))
    return list(answer) if inspect.isgenerator(answer) else answer


def test_the_questions_are_found():
    assert len(QUESTIONS) >= 26
    assert {"durations", "combination", "nail_distances", "across", "seat", "creep"} <= {*QUESTIONS}


@pytest.mark.parametrize("question", sorted(QUESTIONS))
def test_a_silent_basis_is_refused_by_name(question):
    with pytest.raises(UnansweredError, match=r"^design basis XX 2025 does not answer: \w"):
        ask(Silent(), question)


def test_no_two_questions_are_refused_alike():
    said = set()
    for question in QUESTIONS:
        with pytest.raises(UnansweredError) as refused:
            ask(Silent(), question)
        said.add(str(refused.value))
    assert len(said) == len(QUESTIONS)


@pytest.mark.parametrize(("name", "question"), [*product(registry.names(), sorted(QUESTIONS))])
def test_the_bases_that_we_have_answer_everything(name, question):
    own = vars(type(registry.basis(name))).get(question)
    assert own is not None, f"{name} leaves {question} to the protocol, which refuses it"


def test_a_job_that_names_a_silent_basis_is_refused_by_name():
    text = spoilt("service_class = 2", 'standard = "XX 2025"', BASE)
    with registry.added(Silent()):
        (finding,) = findings_of(text)
    assert (finding.code, finding.where) == ("basis-unanswered", "basis.standard")
    assert english(finding.message).startswith("design basis XX 2025 does not answer: ")
    (finding,) = findings_of(text)
    assert (finding.code, finding.where) == ("unknown-choice", "basis.standard")
    assert '"EN 1995-1-1" or "NDS 2018"' in english(finding.message)


def test_a_silent_basis_hides_no_other():
    with registry.added(Silent()):
        assert not findings_of(BASE)
        assert registry.names() == ("EN 1995-1-1", "NDS 2018", "XX 2025")
        with pytest.raises(CatalogueError, match=r"XX 2025 is known already"):
            registry.added(Silent()).__enter__()
    assert registry.names() == ("EN 1995-1-1", "NDS 2018")


def test_names_and_choices_of_the_job_file_are_those_of_the_registry():
    with registry.added(Silent()):
        table = json_schema()["$defs"]["BasisTable"]["properties"]
    assert table["standard"]["anyOf"][0]["enum"] == ["EN 1995-1-1", "NDS 2018", "XX 2025"]
    for name in ("EN 1995-1-1", "NDS 2018"):
        basis = registry.basis(name)
        assert {o.key for o in basis.options} <= {*table}
        assert set(basis.durations) <= {*table["variable_duration"]["anyOf"][0]["enum"]}
    assert owners()["gamma_connection"] == ("EN 1995-1-1",)


@pytest.mark.parametrize(
    ("old", "new", "where", "said"),
    [
        ("service_class = 2", 'standard = "NDS 2018"\nservice_class = 2', "basis.service_class",
         'NDS 2018 does not read service_class, which is a key of "EN 1995-1-1"'),
        ("service_class = 2", 'standard = "NDS 2018"\ngamma_variable = 1.5',
         "basis.gamma_variable", "NDS 2018 does not read gamma_variable"),
        ("[girder]", '[girder]\nmoisture = "wet"', "girder.moisture",
         'EN 1995-1-1 does not read moisture, which is a key of "NDS 2018"'),
    ],
)  # fmt: skip
def test_a_key_of_another_basis_is_refused(old, new, where, said):
    (finding,) = findings_of(spoilt(old, new, BASE))
    assert (finding.code, finding.where) == ("other-basis-key", where)
    assert english(finding.message).startswith(said)
    assert finding.tip == "take it out, or name the other basis"
