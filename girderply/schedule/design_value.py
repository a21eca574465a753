"""The design value of one hung load, by the combinations that the checks use."""

from __future__ import annotations

from girderply.bases.actions import GIVEN, Combination
from girderply.bases.spec import BasisSpec
from girderply.model.girder import HungLoad
from girderply.strength.demand import combination_of


def design_value(load: HungLoad, basis: BasisSpec) -> tuple[float, str]:
    """The largest downward value of a load, N, and the combination in words.

    The combinations are those that the checks use. A load that never acts downward gives its
    uplift, negative.
    """
    given = [
        code
        for code, part in (("D", load.design), ("PV", load.variable), ("P", load.permanent))
        if part
    ] or ["U"]
    made = [_alone(combination_of(basis, code)) for code in given]
    largest = max(made, key=lambda c: c.value(load))
    return largest.value(load), largest.text


def _alone(combination: Combination) -> Combination:
    """Without the term of other loads that are given as design values."""
    return combination if combination.code == "D" else combination.without([GIVEN])
