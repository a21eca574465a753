"""Whole zones worked by hand, with the arithmetic beside the check.

Sources: the equations of EN 1995-1-1:2004+A2:2014 and NDS 2018 (from memory, tested on their own
against published examples); the arithmetic below was done on paper, so the tolerance is what three
or four carried digits give.
"""

from __future__ import annotations

import pytest
from helpers_strength import RULES, bolt_choice, columns, girder, job, load

from girderply.bases.registry import spec_of
from girderply.catalogue import nail
from girderply.jobfile.job import FasteningSpec, UnitSystem
from girderply.strength.checks import check_transfer
from girderply.wording import english

LBF = 4.4482216152605


def test_eurocode_nailed_zone_of_three_plies():
    """Three plies of 45 mm C24, one truss on the front face: G = 2 kN, Q = 3 kN at 2400.

    Demand: 1.35 x 2 + 1.5 x 3 = 7.2 kN; interface 1 passes 2/3 = 4.8 kN, interface 2 1/3 = 2.4 kN.
    Permanent alone 2.7 kN: 1.8 and 0.9 kN. Zone 1800 to 3000 (reach 600).

    Nail 4.0 x 100, driven from the front: 100 - 2 x 45 = 10 mm in ply 3, less than 8 d = 32: only
    interface 1 counts. From the back the same: only interface 2.

    f_h = 0.082 x 350 x 4^-0.3 = 28.7 / 1.5157 = 18.935. M_y = 0.3 x 600 x 4^2.6 = 180 x 36.758
    = 6616.5. Mode (f): 1.15 sqrt(2 x 6616.5 x 18.935 x 4) = 1.15 x 1001.1 = 1151.3 N; (e) with
    t = 45: 1.05 x 3408.3 / 3 x (sqrt(4 + 12 x 6616.5 / (18.935 x 4 x 2025)) - 1)
    = 1192.9 x (sqrt(4.5177) - 1) = 1342.6; (c) 0.41421 x 3408.3 = 1411.8. So (f).
    Rope: f_ax = 20e-6 x 350^2 = 2.45; 45 mm of point are 11.25 d, factor 45/16 - 2 = 0.8125;
    2.45 x 0.8125 x 4 x 45 = 358.3; /4 = 89.6, below 15 % of 1151.3 = 172.7. F_v,Rk = 1240.9.
    Medium: 0.8 x 1240.9 / 1.3 = 763.6 N. Permanent, no rope: 0.6 x 1151.3 / 1.3 = 531.4 N.

    In the zone: 8 nails from the front (7 inside, 1 on the border), 5 from the back; one beyond
    the zone and one on another chord do not count.
    R_1 = 8 x 763.6 = 6109, 4800/6109 = 0.786; R_2 = 5 x 763.6 = 3818, 2400/3818 = 0.629.
    Permanent: 1800 / (8 x 531.4) = 0.423, 900 / (5 x 531.4) = 0.339.
    """
    front = {"to_ply": 3, "point_depth": 10.0}
    back = {"from_ply": 3, "to_ply": 1, "point_depth": 10.0}
    fasteners = columns(
        front | {"station": [1800.0, 1950.0, 2100.0, 2250.0, 2400.0, 2550.0, 2700.0, 2850.0]},
        front | {"station": [3150.0]},
        front | {"station": [2400.0], "member": "TC1"},
        back | {"station": [1875.0, 2100.0, 2325.0, 2550.0, 2775.0]},
        {"kind": "bolt", "spec": "M12", "station": [2000.0], "to_ply": 3, "purpose": "assembly"},
    )
    nails = {"4.0 x 100": nail("4.0 x 100")}
    checks = check_transfer(job(), girder((load(),)), RULES, fasteners, nails, {})
    # What follows is splitting of a receiving ply, which has a test of its own.
    checks = tuple(c for c in checks if ".i" in c.id)
    # What follows is splitting of a receiving ply, which has a test of its own.
    assert [c.id for c in checks if ".i" in c.id] == ["L1.i1.P", "L1.i2.P", "L1.i1.PV", "L1.i2.PV"]
    assert [c.demand for c in checks] == pytest.approx([1800.0, 900.0, 4800.0, 2400.0])
    assert checks[2].resistance == pytest.approx(6109.0, rel=5e-4)
    assert checks[3].resistance == pytest.approx(3818.0, rel=5e-4)
    assert [c.utilisation for c in checks] == pytest.approx([0.423, 0.339, 0.786, 0.629], abs=6e-4)
    assert checks[2].inputs["F_v_Rk"][0] == pytest.approx(1240.9, rel=5e-4)


def test_eurocode_bolted_zone_of_three_plies():
    """The same zone carried by three M12 of grade 4.6 through all plies, load across the grain.

    f_h,0 = 0.082 x 0.88 x 350 = 25.256; k_90 = 1.35 + 0.18 = 1.53; f_h,90 = 16.507.
    N = f_h d t = 16.507 x 12 x 45 = 8913.9. Table, mode (c): (sqrt 2 - 1) N = 3692.3 N.
    Rope: washer 40 x 40 with the 14 mm hole of DIN 436: 1600 - 153.9 = 1446.1 mm2; 3 x 2.5 x 1446.1
    = 10.8 kN, /4 = 2.7 kN; the limit of 25 %, 923.1, is less. F_v,Rk = 4615.3 N.

    The stack by hand. Resultants P(2/3, -1/3, -1/3), shears 2/3 P and 1/3 P. The bolt stays
    straight: sum of t (V0 + V1)/2 over the plies = t P, sum of w = t (3 N^2 - (4 + 1 + 1)/9 P^2) /
    (4 N). With p = P/N: 4 p = 3 - 2/3 p^2, p = 3/4 (sqrt 24 - 4) = 0.67423. Interface 1:
    0.44949 N = 4006.7, more than the table's 3692.3: the table's counts. Interface 2: 0.22474 N
    = 2003.3; share 2003.3/3692.3 = 0.5426.

    Medium: R_1 = 3 x 0.8 x 4615.3 / 1.3 = 8520.6, 4800/8520.6 = 0.563;
    R_2 = 0.5426 x 8520.6 = 4623, 2400/4623 = 0.519.
    """
    choice = bolt_choice("M12")
    fasteners = columns(
        {
            "kind": "bolt",
            "spec": choice.spec,
            "station": [2200.0, 2300.0, 2500.0],
            "to_ply": 3,
            "drilled": 13.0,
        }
    )
    by_bolt = job(fastening=FasteningSpec(transfer_by="bolt"))
    checks = check_transfer(by_bolt, girder((load(),)), RULES, fasteners, {}, {choice.spec: choice})
    found = {c.id: c for c in checks}
    one, two = found["L1.i1.PV"], found["L1.i2.PV"]
    assert one.resistance == pytest.approx(8520.6, rel=2e-4)
    assert two.resistance == pytest.approx(4623.0, rel=2e-4)
    assert (one.utilisation, two.utilisation) == pytest.approx((0.563, 0.519), abs=6e-4)
    assert "turns straight in plies 1 to 3" in english(one.mode)


def test_nds_nailed_zone_of_three_plies():
    """Three plies of 1 1/2 in Douglas Fir-Larch, 500 lb dead and 800 lb snow on the front face.

    Demand: D + S = 1300 lb: 866.7 and 433.3 lb; D alone 333.3 and 166.7.
    16d common, 0.162 x 3 1/2, each through two plies: bearing 16600 x 0.5^1.84 = 4637, in the table
    4650 psi; F_yb 90000. Mode IV: 0.162^2 sqrt(2 x 4650 x 90000 / (3 x 2)) = 0.026244 x 11811
    = 309.97 lb; K_D = 2.2: Z = 140.9 lb (Table 12N: 141, read). The point is 1.5 in deep, less than
    10 D = 1.62: l_m = 1.5 - 0.162 = 1.338, where III_m gives 174 lb: IV governs.
    C_D = 1.15: Z' = 162.0 lb; D alone, 0.9: 126.8 lb.
    Six nails at interface 1, four at interface 2: 866.7/972.2 = 0.891, 433.3/648.1 = 0.669;
    D alone 333.3/760.8 = 0.438, 166.7/507.2 = 0.329.
    """
    basis = spec_of("NDS 2018", variable_duration="two months")
    hung = load(permanent=500 * LBF, variable=800 * LBF)
    plies = girder((hung,), thickness=38.1, timber="Douglas Fir-Larch")
    common = {"spec": "16d common", "point_depth": 38.1}
    fasteners = columns(
        common | {"station": [1900.0 + 150 * i for i in range(6)]},
        common | {"from_ply": 2, "to_ply": 3, "station": [2000.0 + 200 * i for i in range(4)]},
    )
    nails = {"16d common": nail("16d common")}
    checks = check_transfer(
        job(basis, units=UnitSystem.IMPERIAL), plies, RULES, fasteners, nails, {}
    )
    checks = [c for c in checks if c.interface]
    found = {c.id: c for c in checks}
    assert found["L1.i1.PV"].demand / LBF == pytest.approx(866.7, abs=0.05)
    assert found["L1.i1.PV"].resistance / LBF == pytest.approx(972.2, rel=1e-3)
    assert [c.utilisation for c in checks] == pytest.approx([0.438, 0.329, 0.891, 0.669], abs=6e-4)
    assert found["L1.i1.PV"].mode == "IV"
    assert not any(" N " in english(step) for step in found["L1.i1.PV"].steps)
