"""A fastener through several interfaces: its share of the single-shear value at each of them.

The standards' tables know one shear plane at a time. In a stack loaded from one face all the
interfaces shear the same way, and the fastener's own limit analysis can give less. The table's
value at an interface is therefore multiplied by

    limit in the stack / limit of the two plies alone, no more than 1,

both with the factor that the standard puts on each mechanism (`mechanisms`), so that the second is
the table's own value without rope effect. A factor above 1 is a credit over the plastic limit; the
stack gets no more of it than the mode of the two plies alone has.
"""

from __future__ import annotations

from dataclasses import dataclass

from girderply.bases.crossing import Crossing
from girderply.bases.dowel.mechanisms import Factors, factored_box, factored_limit
from girderply.bases.dowel.stack import Mechanism, Stack, StackLimit
from girderply.units.exact import N_PER_LB
from girderply.wording import Said, numeral, said

THIN, RIGID = 2e-5, 1e10  # mm and N/mm of the steel: no moment (1 Nmm) but any force (2e5 N)


@dataclass(frozen=True, slots=True)
class InStack:
    """What the limit analysis says of one interface of one fastener.

    Attributes:
        alone: limit of the two plies, N. together: limit in the stack, N; both with the
            standard's factors.
        part: what the pattern passes here, over its largest; no unit.
        whole: limit in the stack over the limit that the two-ply values would give if each
            interface stood alone, for the fastener as a whole; no unit.
        share: of the table's value that counts at this interface, 0 to 1.
        mechanism: in the stack. single: of the two plies alone.
        planes: interfaces the fastener crosses.
        boxed: each interface may be loaded without the others.
        spared: the document's factor on the stack's mechanism was taken no larger than that on the
            mode of the two plies alone.
    """

    alone: float
    together: float
    part: float
    whole: float
    share: float
    mechanism: Mechanism
    single: Mechanism
    planes: int
    boxed: bool
    spared: bool = False

    @property
    def difference(self) -> float | None:
        """By how much the whole fastener has more than the single-shear value; None for one."""
        return None if self.planes == 1 else self.whole - 1

    def words(self, inches: bool = False) -> Said:
        """By how much the stack differs from the table's single shear; N and mm, or lb and in."""
        if self.planes == 1:
            return said("worked.one_interface")
        more = 100 * (self.whole - 1)
        percent = numeral(abs(more), ".1f")
        verdict = (
            said("worked.stack_more", percent=percent)
            if more >= 0
            else said("worked.stack_less", percent=percent)
        )
        if self.spared:
            verdict = said("worked.stack_spared", verdict=verdict)
        unit, size = ("lb", N_PER_LB) if inches else ("N", 1.0)
        return said(
            "worked.stack",
            plies=self.planes + 1,
            how=said("worked.stack_boxed" if self.boxed else "worked.stack_pattern"),
            together=f"{self.together / size:.0f}",
            unit=unit,
            part=f"{100 * self.part:.0f}",
            alone=f"{self.alone / size:.0f}",
            verdict=said("worked.stack_capped", verdict=verdict) if self.share >= 1 else verdict,
            mechanism=self.mechanism.words(inches),
        )


def bearing(
    crossing: Crossing, thickness: float, least_point: float
) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """Interfaces that count and bearing lengths of the plies (mm), from head to point.

    A point less deep than `least_point` does not count: its ply is left out.
    """
    last = thickness if crossing.protrudes else min(crossing.point_depth, thickness)
    lengths = (*[thickness] * (len(crossing.plies) - 1), last)
    if last < least_point - 1e-6:
        return crossing.interfaces[:-1], lengths[:-1]
    return crossing.interfaces, lengths


def pattern_for(interfaces: tuple[int, ...], shear: tuple[float, ...]) -> tuple[float, ...]:
    """The demand's signed shears at these interfaces, largest 1, rounded so that equals meet."""
    own = [shear[k - 1] for k in interfaces]
    size = max((abs(v) for v in own), default=0.0)
    return tuple(round(v / size, 9) if size else 0.0 for v in own)


def in_stack(
    stack: Stack, pattern: tuple[float, ...], boxed: bool, factors: Factors
) -> tuple[InStack, ...]:
    """Limit analysis at every interface of one fastener, from head to point.

    Args:
        stack: the fastener in its plies.
        pattern: shears at its interfaces, any unit.
        boxed: True where fasteners of other lengths share the interfaces, so that one interface may
            be loaded without the next.
        factors: what the standard puts on a mechanism.

    Returns:
        One record per interface; a share of 0 where the pattern has nothing to pass.
    """
    singles = [factored_limit(stack.pair(k), (1.0,), factors) for k in range(1, stack.plies)]
    if not any(pattern):
        return tuple(_unloaded(one, stack, boxed) for one in singles)
    whole = (factored_box if boxed else factored_limit)(stack, pattern, factors)
    apart = min(one.multiplier / abs(v) for one, v in zip(singles, pattern, strict=True) if v)
    largest = max(abs(v) for v in pattern)
    found = []
    for k, (one, v) in enumerate(zip(singles, pattern, strict=True)):
        held = _credited(stack, pattern, boxed, factors, one) if len(singles) > 1 else whole
        together = abs(held.shears[k])
        share = together / one.multiplier
        found.append(
            InStack(
                alone=one.multiplier,
                together=together,
                part=abs(v) / largest,
                whole=held.multiplier / apart,
                share=1.0 if share > 1 - 1e-9 else share,
                mechanism=held.mechanism,
                single=one.mechanism,
                planes=stack.plies - 1,
                boxed=boxed,
                spared=held.multiplier < whole.multiplier * (1 - 1e-9),
            )
        )
    return tuple(found)


def behind_steel(lengths: tuple[float, ...], q: float, M_y: float, factors: Factors) -> StackLimit:
    """Largest force of thin steel at the face that a fastener shares out equally to the plies, N.

    The steel holds the fastener as a hinge does: it takes any force and no moment.

    Args:
        lengths: (r,) bearing lengths in the plies behind the steel, from the face on, mm.
        q: embedment strength times diameter, N/mm.
        M_y: yield moment, Nmm.
        factors: what the standard puts on a mechanism.
    """
    r = len(lengths)
    whole = Stack((THIN, *lengths), (RIGID, *(q,) * r), M_y)
    return factored_limit(whole, tuple((r - k) / r for k in range(r)), factors)


def _credited(
    stack: Stack, pattern: tuple[float, ...], boxed: bool, factors: Factors, single: StackLimit
) -> StackLimit:
    """Limit in the stack with no more credit on any mechanism than the table's own mode has."""
    own = factors.credited(factors.on(single.mechanism))
    return (factored_box if boxed else factored_limit)(stack, pattern, own)


def _unloaded(one: StackLimit, stack: Stack, boxed: bool) -> InStack:
    """Nothing to pass: no share, and the two plies' own mechanism."""
    return InStack(
        one.multiplier, 0.0, 0.0, 1.0, 0.0, one.mechanism, one.mechanism, stack.plies - 1, boxed
    )
