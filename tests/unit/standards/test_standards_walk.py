"""Every public clause function: a source, units, and guards that name the faulty argument."""

import importlib
import inspect
import math
import pkgutil
import re
from pathlib import Path

import pytest

from girderply.errors import RangeError
from girderply.standards import tables

EDITIONS = {
    "en1990_2002": "EN 1990:2002+A1:2005",
    "en1993_1_8_2005": "EN 1993-1-8:2005",
    "en1995_1_1_2014": "EN 1995-1-1:2004+A2:2014",
    "en338_2016": "EN 338:2016",
    "nds_2018": "NDS 2018",
}
UNIT = re.compile(
    r"\b(mm2?|N|Nmm|N/mm2?|kg/m3|rad|lb|psi|lb/in|degF|no unit|one of)\b|\bTrue\b|, in(?=[;,.])"
)


def _functions():
    for edition in EDITIONS:
        package = importlib.import_module(f"girderply.standards.{edition}")
        for info in pkgutil.iter_modules(package.__path__):
            module = importlib.import_module(f"{package.__name__}.{info.name}")
            for name, thing in vars(module).items():
                mine = inspect.isfunction(thing) and thing.__module__ == module.__name__
                if mine and not name.startswith("_"):
                    yield pytest.param(edition, thing, id=f"{edition}.{info.name}.{name}")


FUNCTIONS = list(_functions())


def _section(doc, title):
    found = re.search(rf"^{title}:\n((?:    .*\n?|\n)+)", doc, re.M)
    return found.group(1) if found else ""


def test_the_walk_finds_the_clauses():
    assert len(FUNCTIONS) > 90
    assert {p.values[0] for p in FUNCTIONS} == set(EDITIONS)


@pytest.mark.parametrize(("edition", "function"), FUNCTIONS)
def test_source_stands_on_a_line_of_its_own_and_is_of_this_edition(edition, function):
    doc = inspect.getdoc(function)
    line = rf"^\[{re.escape(EDITIONS[edition])}, [^\]]*\d[^\]]*\]$"
    assert len(re.findall(line, doc, re.M)) == 1


@pytest.mark.parametrize("function", [p.values[1] for p in FUNCTIONS])
def test_every_argument_and_the_result_have_a_unit(function):
    doc = inspect.getdoc(function)
    entries = re.split(r"^    (?=\S)", _section(doc, "Args"), flags=re.M)[1:]
    described = {e.split(":", 1)[0].lstrip("*"): e.split(":", 1)[1] for e in entries}
    assert list(described) == list(inspect.signature(function).parameters)
    without = [name for name, text in described.items() if not UNIT.search(text)]
    assert without == []
    assert UNIT.search(_section(doc, "Returns"))
    if described:
        assert "RangeError" in _section(doc, "Raises")


# One good value for each argument name, so that only the broken one can be at fault.
GOOD = {
    "d": 4.0, "rho_k": 350.0, "alpha": 1.0, "predrilled": False, "wood": "softwood", "bolt": False,
    "t_1": 38.0, "t_2": 45.0, "f_h_1_k": 19.0, "f_h_2_k": 24.0, "M_y_Rk": 6600.0, "factored": True,
    "johansen": {"a": 900.0, "f": 800.0}, "F_ax_Rk": 100.0, "limit": 0.15, "f_u": 600.0,
    "surface": "smooth", "f_u_k": 400.0, "service_class": 2, "duration": "medium", "k_mod_1": 0.8,
    "k_mod_2": 0.9, "item": "connections", "X_k": 20.0, "k_mod": 0.8, "gamma_M": 1.3, "R_k": 900.0,
    "rho_m_1": 400.0, "rho_m_2": 420.0, "rho_m": 420.0, "K_ser": 900.0, "fastener": "bolt",
    "t_pen": 38.0, "threaded": False, "rho_k_1": 350.0, "rho_k_2": 380.0, "d_h": 8.0, "t": 45.0,
    "f_ax_k": 6.0, "f_head_k": 15.0, "outer": 40.0, "hole": 13.0, "shape": "square", "area": 1400.0,
    "f_c_90_k": 2.5, "F_t_Rk": 30000.0, "F_washer_Rk": 10000.0, "a_1": 48.0, "n": 5, "k_ef": 0.85,
    "stagger": 0.0, "mode_1": "a", "mode_2": "f", "smooth": True, "h": 200.0, "holes": 2,
    "w_pl": 120.0, "b": 38.0, "h_e": 120.0, "w": 1.0, "F_v_Ed_1": 900.0, "F_v_Ed_2": -800.0,
    "d_root": 3.0, "d_shank": 4.0,
    "smooth_in_point_member": 12.0, "d_ef": 5.0, "l_ef": 48.0, "rho_a": 350.0,
    "action": "permanent", "favourable": False, "G_k": 900.0, "Q_k": 700.0, "gamma_G": 1.35,
    "gamma_Q": 1.5, "grade": "4.6", "pitch": 0.7, "f_ub": 400.0, "A_s": 84.3, "name": "C24",
    "species": "Hem-Fir", "G": 0.43, "D_in": 0.19, "F_e_par_psi": 4800.0, "F_e_perp_psi": 2550.0,
    "theta": 1.0, "mode": "II", "l_m_in": 1.5, "l_s_in": 1.25, "F_em_psi": 3500.0,
    "F_es_psi": 4650.0, "F_yb_psi": 80000.0, "yield_loads_lb": {"Im": 900.0, "IV": 700.0},
    "p_in": 1.5, "E_in": 0.38, "t_side_in": 1.5, "beyond_in": 0.6, "wet_fabricated": True,
    "wet_service": False, "lone_row": False, "T_F": 90.0, "wet": False, "Z_lb": 120.0,
    "factors": 1.15, "s_in": 4.0, "EA_m_lb": 7e6, "EA_s_lb": 8e6, "case": "end perpendicular",
    "end_in": 2.5, "end_case": "end perpendicular", "spacing_in": 1.9, "l_in": 1.5,
    "row_spacing_in": 1.0, "loaded": True, "prebored": False, "t_min_in": 1.5, "d_in": 5.5,
    "t_last_in": 1.5, "l": 100.0, "a_2": 20.0, "l_1": 300.0, "A_ef": 4000.0, "f_c_90_d": 1.5,
    "k_c_90": 1.5, "F_v_psi": 135.0, "b_in": 1.5,
    "d_e_in": 4.0, "to_end_in": 30.0, "l_b_in": 3.5, "F_c_perp_psi": 425.0, "C_b": 1.1,
}  # fmt: skip
OWN = {
    "F_e_perpendicular_psi": {"D_in": 0.5},
    "F_ax_Rk_screw": {"alpha": 1.5},
    "C_D": {"duration": "two months"},
    "C_D_connection": {"duration": "ten years"},
}


def _call(function, arguments):
    positional, keyword = [], {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.kind in (parameter.KEYWORD_ONLY, parameter.VAR_KEYWORD):
            keyword[name] = arguments[name]
        else:
            positional.append(arguments[name])
    return function(*positional, **keyword)


def _numbers(function):
    kinds = {"float": (math.nan, math.inf), "int": (math.nan, 0.5, -1), "float | None": (math.nan,)}
    for name, parameter in inspect.signature(function).parameters.items():
        for bad in kinds.get(parameter.annotation, ()):
            yield name, bad


@pytest.mark.parametrize("function", [p.values[1] for p in FUNCTIONS])
def test_no_number_is_refused_by_the_name_of_its_argument(function):
    good = {**GOOD, **OWN.get(function.__name__, {})}
    result = _call(function, good)
    assert result is not None
    for name, bad in _numbers(function):
        with pytest.raises(RangeError, match=rf"\b{name}\b must be"):
            _call(function, {**good, name: bad})


@pytest.mark.parametrize("edition", sorted(EDITIONS))
def test_every_table_file_says_what_it_is_and_how_sure(edition):
    package = importlib.import_module(f"girderply.standards.{edition}")
    folder = package.__path__[0]
    names = sorted(p.stem for p in Path(folder).glob("*.csv"))
    assert names
    for name in names:
        table = tables.load(package.__name__, name)
        assert set(tables.HEADER) <= set(table.meta)
        assert table.meta["document"].split()[0] == EDITIONS[edition].split()[0]
        assert table.rows
        assert all(None not in row and None not in row.values() for row in table.rows)


def test_a_word_that_a_table_lacks_is_answered_with_the_words_it_has():
    table = tables.load("girderply.standards.nds_2018", "table_2_3_2")
    with pytest.raises(RangeError, match=r"no row .*snowy.*known duration: permanent, ten years"):
        table.row(duration="snowy")
