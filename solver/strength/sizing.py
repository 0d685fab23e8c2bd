"""Where to put the wood: the least stock that carries a target, and which members to make stronger first.

A member at a time is exact for a determinate truss, since its forces do not depend on the stock. Of an
indeterminate truss the forces follow the stock: choice and stiffness solution take turns until nothing
changes, and after a stated number of turns a member may only become stronger, so that it ends. Then members
are made lighter one at a time for as long as the whole carries the target: in the end no single one can be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from operator import itemgetter

import numpy as np
from numpy.typing import NDArray

from solver.errors import OutOfReachError, StockError
from solver.strength.capacity import Piece, compression_capacity, tension_capacity
from solver.strength.demand import Demand, demand_of
from solver.strength.failing import (
    JointStrength,
    Standing,
    live_forces,
    load_factors,
    masses,
    standing_of,
)
from solver.strength.materials import Material
from solver.strength.settings import SETTINGS
from solver.strength.stock import Section
from solver.truss import Truss

__all__ = ["Choice", "Option", "Upgrade", "least_stock", "spread_of", "stressed_areas", "upgrades"]


@dataclass(frozen=True)
class Option:
    """One thing at hand that a member can be made of."""

    name: str
    section: Section
    material: Material

    def put(self, piece: Piece) -> Piece:
        """Make a piece of this, held as it is."""
        return replace(piece, section=self.section, material=self.material)

    @property
    def grams_per_millimetre(self) -> float:
        """Mass of each mm."""
        return self.section.area * self.material.density.value * 1e-6


@dataclass(frozen=True, eq=False)
class Choice:
    """An option for every member."""

    options: tuple[Option, ...]
    """In the order of the members."""
    standing: Standing
    """With these options, at the given load."""
    turns: tuple[float, ...]
    """Grams after each turn of choosing and solving again, then of making one member lighter; one entry for a
    determinate truss."""


@dataclass(frozen=True, eq=False)
class Upgrade:
    """One step towards a stronger truss: all members that stand in its way are made stronger."""

    members: tuple[str, ...]
    options: tuple[str, ...]
    """What each of them becomes."""
    grams: float
    """Added by this step to the truss as the step before left it."""
    standing: Standing
    """After the step."""
    gain: float
    """N of failure load for each gram added; infinite where the step adds none."""


def least_stock(
    truss: Truss,
    pieces: Sequence[Piece],
    options: Sequence[Option],
    *,
    target: float,
    joint_strengths: Sequence[JointStrength] = (),
    curve: str = "least",
) -> Choice:
    """Choose the lightest option for each member that carries a load factor, at averages.

    Parameters
    ----------
    truss : Truss
    pieces : sequence of (M,) Piece
        As the members are now; how they are held is kept.
    options : sequence of Option
        What is at hand.
    target : float
        Load factor on the given load, above zero.

    Raises
    ------
    OutOfReachError
        When no option of those at hand carries it in some member, or a joint does not.
    StockError
        When there is no option, or the target is no number above zero.
    """
    if not options:
        raise StockError("There is nothing at hand to make members of: give a stock.")
    if not np.isfinite(target) or target <= 0:
        raise StockError(f"A target of {target:g} times the load is impossible: give one above zero.")
    chosen = tuple(pieces)
    picked: tuple[Option, ...] = ()
    turns: list[float] = []
    while True:
        demand = demand_of(truss, chosen)
        before, picked = picked, _lightest(demand, chosen, options, target, curve)
        if len(turns) >= SETTINGS.free_turns:
            picked = tuple(
                max(old, new, key=lambda option: option.grams_per_millimetre)
                for old, new in zip(before, picked, strict=True)
            )
        chosen = tuple(option.put(piece) for option, piece in zip(picked, chosen, strict=True))
        turns.append(float(masses(demand, chosen).sum()))
        if demand.determinate or picked == before:
            break
    standing = standing_of(demand_of(truss, chosen), chosen, joint_strengths=joint_strengths, curve=curve)
    while not standing.demand.determinate and standing.load_factor >= target * (1 - SETTINGS.rounding):
        lighter = _one_lighter(picked, standing, options, target)
        if lighter is None:
            break
        picked, standing = lighter
        turns.append(standing.mass)
    weak = [check.name for check in standing.checks if check.load_factor < target * (1 - SETTINGS.rounding)]
    if weak:
        raise OutOfReachError(tuple(weak), standing.load_factor, target)
    return Choice(picked, standing, tuple(turns))


def _one_lighter(
    picked: tuple[Option, ...], standing: Standing, options: Sequence[Option], target: float
) -> tuple[tuple[Option, ...], Standing] | None:
    """Make one member of an indeterminate truss lighter, that which saves most; none when none can be."""
    changes = sorted(
        (
            (float((new.grams_per_millimetre - old.grams_per_millimetre) * length), row, new)
            for row, (old, length) in enumerate(zip(picked, standing.demand.lengths, strict=True))
            for new in options
            if new.grams_per_millimetre < old.grams_per_millimetre
        ),
        key=itemgetter(0, 1),
    )
    for _, row, lighter in changes:
        then = (*picked[:row], lighter, *picked[row + 1 :])
        pieces = tuple(option.put(piece) for option, piece in zip(then, standing.pieces, strict=True))
        after = standing_of(
            demand_of(standing.demand.truss, pieces),
            pieces,
            joint_strengths=standing.joint_strengths,
            curve=standing.curve,
        )
        if after.load_factor >= target * (1 - SETTINGS.rounding):
            return then, after
    return None


def _factors(demand: Demand, pieces: Sequence[Piece], curve: str) -> NDArray[np.float64]:
    """Give (M,) load factors of the members alone."""
    tension = np.array([tension_capacity(piece).force for piece in pieces])
    compression = np.array(
        [
            compression_capacity(piece, float(length), curve=curve).force
            for piece, length in zip(pieces, demand.lengths, strict=True)
        ]
    )
    return load_factors(demand.dead, live_forces(demand), tension, compression)


def _lightest(
    demand: Demand, pieces: Sequence[Piece], options: Sequence[Option], target: float, curve: str
) -> tuple[Option, ...]:
    """Choose for each member the lightest option that carries the target under the forces as they are."""
    ordered = sorted(options, key=lambda option: option.grams_per_millimetre)
    factors = np.stack(
        [_factors(demand, [option.put(piece) for piece in pieces], curve) for option in ordered]
    )
    enough = factors >= target * (1 - SETTINGS.rounding)
    short = np.flatnonzero(~enough.any(axis=0))
    if len(short) and demand.determinate:
        members = [demand.truss.members[row] for row in short]
        best = float(factors[:, short].max(axis=0).min())
        raise OutOfReachError(tuple(f"{member.start}-{member.end}" for member in members), best, target)
    # Where forces follow the stock they may yet turn away from a member that is too weak now.
    picked = np.where(enough.any(axis=0), enough.argmax(axis=0), factors.argmax(axis=0))
    return tuple(ordered[int(row)] for row in picked)


def upgrades(
    truss: Truss,
    pieces: Sequence[Piece],
    options: Sequence[Option],
    *,
    joint_strengths: Sequence[JointStrength] = (),
    curve: str = "least",
    steps: int = SETTINGS.steps,
) -> tuple[Upgrade, ...]:
    """Make those members stronger that go first, again and again, and give the steps by gain per gram.

    In a determinate truss nothing else raises the failure load, whatever is added elsewhere. Each turn takes
    the lightest option that helps. A turn that gains more for a gram than the one before it is joined to
    that one, since nobody would stop between the two: so each step gains less for a gram than the last.
    It ends at a joint, where no option helps, or after so many steps.

    Parameters
    ----------
    truss, pieces, options, joint_strengths, curve
        As of `least_stock`.
    steps : int
        The most steps given.
    """
    demand = demand_of(truss, tuple(pieces))
    standing = standing_of(demand, pieces, joint_strengths=joint_strengths, curve=curve)
    found: list[Upgrade] = []
    for turn in _turns(standing, options):
        found.append(turn)
        while len(found) > 1 and found[-1].gain >= found[-2].gain:
            later, earlier = found.pop(), found.pop()
            start = found[-1].standing if found else standing
            found.append(_joined(start, earlier, later))
        if len(found) > steps:
            break
    return tuple(found[:steps])


def _turns(standing: Standing, options: Sequence[Option]) -> Iterator[Upgrade]:
    """Make what goes first stronger by the lightest option that helps, turn after turn."""
    for _ in range(SETTINGS.turns):
        better = _stronger(standing, options)
        if better is None:
            return
        chosen = tuple(
            better[row].put(piece) if row in better else piece for row, piece in enumerate(standing.pieces)
        )
        after = standing_of(
            demand_of(standing.demand.truss, chosen),
            chosen,
            joint_strengths=standing.joint_strengths,
            curve=standing.curve,
        )
        if after.failure_load <= standing.failure_load:
            return
        yield _upgrade(
            standing, after, {standing.checks[row].name: option.name for row, option in better.items()}
        )
        standing = after


def _upgrade(before: Standing, after: Standing, become: dict[str, str]) -> Upgrade:
    grams = after.mass - before.mass
    gain = after.failure_load - before.failure_load
    per_gram = gain / grams if grams > 0 else float("inf")
    return Upgrade(tuple(become), tuple(become.values()), grams, after, per_gram)


def _joined(start: Standing, earlier: Upgrade, later: Upgrade) -> Upgrade:
    """Make one step of two; a member that both make stronger becomes what the later one makes of it."""
    become = dict(zip(earlier.members, earlier.options, strict=True))
    become |= dict(zip(later.members, later.options, strict=True))
    return _upgrade(start, later.standing, become)


def _stronger(standing: Standing, options: Sequence[Option]) -> dict[int, Option] | None:
    """Give the lightest stronger option of each governing member, or none where one has none."""
    demand = standing.demand
    factors = {
        option: _factors(demand, [option.put(piece) for piece in standing.pieces], standing.curve)
        for option in options
    }
    found: dict[int, Option] = {}
    limit = standing.load_factor * (1 + SETTINGS.tie)
    for row, check in enumerate(standing.checks):
        if check.load_factor > limit:
            continue
        if row >= len(standing.pieces):
            return None
        better = [option for option in options if factors[option][row] > limit]
        if not better:
            return None
        found[row] = min(better, key=lambda option: option.grams_per_millimetre)
    return found


def spread_of(standing: Standing) -> tuple[float, float]:
    """Give how far the least used and the middle member are used when the first goes, 0 to 1.

    Members that the load does not reach are left out. Both are 1 for the truss that fails everywhere at once.
    """
    factors = np.array([check.load_factor for check in standing.checks[: len(standing.pieces)]])
    used = standing.load_factor / factors[np.isfinite(factors)]
    return float(used.min()), float(np.median(used))


def stressed_areas(demand: Demand, material: Material) -> NDArray[np.float64]:
    """Give (M,) areas, mm², at which every member is at its strength under the given load, buckling left out.

    The least weight that stress alone allows a determinate truss: what real members weigh more is the price
    of buckling and of the sizes that are to be had.

    References
    ----------
    A. G. M. Michell, "The limits of economy of material in frame-structures", Philosophical Magazine 8
    (1904): least weight asks for full stress.
    """
    forces = demand.dead + live_forces(demand)
    return np.where(forces >= 0, forces / material.tension.value, -forces / material.compression.value)
