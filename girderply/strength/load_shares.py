"""What every ply keeps of every load in the end, and what of it crosses each interface.

By equal shares a ply keeps 1/n of every load. By computed shares it keeps what the springs leave in
it, each load by itself: part of a load that the bearings carry under that ply. Where fasteners are
linear the parts of a load do not hang on what else acts. Where bolts have play they do: then the
springs are taken as stiff as they are found in that combination, so that the loads add up to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import accumulate

from girderply.strength.demand import Demand, interface_shears
from girderply.wording import Said, said


@dataclass(frozen=True, slots=True)
class LoadShares:
    """Parts of every load that the plies keep, in one state of the fasteners.

    Attributes:
        bolts: "tight" or with "play", or "none". age: "initial" or "final" after creep.
        cases: ids of the combinations it is of, such as "PV.front"; empty: of all.
        kept: load id -> (n,) part of the load that each ply keeps; they sum to 1.
    """

    bolts: str
    age: str
    cases: tuple[str, ...]
    kept: Mapping[str, tuple[float, ...]]

    def words(self) -> Said:
        """The state in words."""
        return state_words(self.bolts, self.age)

    def of(self, demand: Demand) -> Demand:
        """What must pass where the plies keep these shares.

        Args:
            demand: its loads and what each of them is worth are read.

        Raises:
            KeyError: a load that is not known.
        """
        n = len(demand.entering)
        carried = [0.0] * n
        for load, value in zip(demand.zone.loads, demand.values, strict=True):
            for i, part in enumerate(self.kept[load.id]):
                carried[i] += part * value
        shear = interface_shears(demand.entering, tuple(carried))
        return replace(demand, shear=shear, carried=tuple(carried), shared=self.words())


def state_words(bolts: str, age: str) -> Said:
    """How the fasteners are thought to be; of bolts only where there are any."""
    aged = said(f"sharing.age_{age}")
    if bolts == "none":
        return aged
    return said("sharing.state", bolts=said(f"sharing.bolts_{bolts}"), age=aged)


def kept_before(demand: Demand, k: int) -> float:
    """What plies 1..k keep of the loads of a demand, N."""
    return list(accumulate(demand.carried))[k - 1]
