"""The design value of one hung load, by the combinations that the checks use."""

from __future__ import annotations

from girderply.bases.spec import BasisSpec
from girderply.model.girder import HungLoad
from girderply.strength.demand import combinations_of
from girderply.wording import Words


def design_value(load: HungLoad, basis: BasisSpec) -> tuple[float, Words]:
    """The largest downward value of a load, N, and the combination in words.

    The combinations are those that the checks use. A load that never acts downward gives its
    uplift, negative.
    """
    made = [c.of([load]) for c in combinations_of(basis, (load,))]
    if not made:
        return 0.0, ""
    largest = max(made, key=lambda c: c.value(load))
    return largest.value(load), largest.text
