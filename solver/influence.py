"""A load that travels: influence lines of members and reactions, and the worst places for axles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.equilibrium import Equilibrium
from solver.errors import NoUniqueSolutionError, QuestionError
from solver.factors import factorize
from solver.judge import explain, judge
from solver.steps import Quantity
from solver.truss import Truss

__all__ = ["Axle", "Envelope", "InfluenceLines", "influence_lines", "load_envelope", "train_envelope"]


@dataclass(frozen=True, eq=False)
class InfluenceLines:
    """What a unit load on the deck does to every member and reaction.

    Between neighbouring deck joints the lines are straight, since the deck there rests on the two like a
    beam.
    """

    deck: tuple[str, ...]
    """Deck joints in order."""
    places: NDArray[np.float64]
    """(P,) distance of each deck joint from the first, along the deck, in length units."""
    quantities: tuple[Quantity, ...]
    """M members, then R reaction components (x and y of a pin, n along a roller's normal)."""
    ordinates: NDArray[np.float64]
    """(P, M + R) force for a downward load of one unit at each deck joint; tension positive."""

    def at(self, place: float) -> NDArray[np.float64]:
        """Give (M + R,) ordinates for a unit load anywhere on the deck; nothing for one off it."""
        return np.asarray(_ordinates(self, np.array([place]))[0])

    def of(self, *joints: str, axis: str = "") -> NDArray[np.float64]:
        """Give the (P,) line of the member between two joints, or of a reaction and its axis."""
        for index, quantity in enumerate(self.quantities):
            if set(quantity.joints) == set(joints) and quantity.axis == axis:
                return np.asarray(self.ordinates[:, index])
        raise QuestionError(
            f"There is no member or reaction {'–'.join(joints)} {axis}".rstrip() + " in this truss."
        )


@dataclass(frozen=True)
class Axle:
    """One axle of a train of loads."""

    behind: float
    """Distance behind the first axle, in length units, zero or more."""
    load: float
    """Force units, downward."""


@dataclass(frozen=True, eq=False)
class Envelope:
    """The most that a travelling load does to each member and reaction, the unloaded deck included."""

    quantities: tuple[Quantity, ...]
    """As in `InfluenceLines`."""
    highest: NDArray[np.float64]
    """(M + R,) largest tension or push, zero where there is none."""
    highest_at: tuple[float | None, ...]
    """Where the load or first axle then stands, along the deck; none where the deck is best empty."""
    lowest: NDArray[np.float64]
    """(M + R,) largest compression or pull, as a number of zero or less."""
    lowest_at: tuple[float | None, ...]
    """Where the load or first axle then stands."""


def influence_lines(truss: Truss, deck: Sequence[str]) -> InfluenceLines:
    """Find the influence lines of a determinate truss for a unit load travelling along deck joints.

    Loads of the model itself play no part, and it needs none.

    Raises
    ------
    QuestionError
        When the deck names fewer than two joints, one twice, or one that is not there.
    NoUniqueSolutionError
        When the truss moves or is statically indeterminate.

    References
    ----------
    Müller-Breslau's and every text's definition: the ordinate is the force for a unit load standing there.
    """
    names = tuple(deck)
    unknown = [name for name in names if name not in truss.row]
    if unknown:
        raise QuestionError(f"There is no joint {', '.join(map(str, unknown))}; name joints of the truss.")
    if len(names) < 2 or len(set(names)) < len(names):
        raise QuestionError("A deck needs at least two joints, in order, each once.")
    equilibrium = Equilibrium(truss)
    judgement = judge(equilibrium)
    if judgement.stability.verdict != "determinate":
        raise NoUniqueSolutionError(explain(equilibrium))
    factors = judgement.factors or factorize(equilibrium.matrix)
    assert factors is not None  # its rank is full
    rows = np.array([truss.row[name] for name in names])
    right = np.zeros((2 * len(truss.joints), len(names)))
    right[2 * rows + 1, np.arange(len(names))] = 1.0  # minus a load of one unit down
    steps = np.diff(truss.at[rows], axis=0)
    quantities = [Quantity("member", (member.start, member.end)) for member in truss.members]
    for support in truss.supports:
        axes = "xy" if support.kind == "pin" else "n"
        quantities += [Quantity("reaction", (support.joint,), axis) for axis in axes]
    return InfluenceLines(
        deck=names,
        places=np.concatenate(([0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1])))),
        quantities=tuple(quantities),
        ordinates=np.ascontiguousarray(factors.solve(right).T),
    )


def load_envelope(lines: InfluenceLines, load: float) -> Envelope:
    """Find the worst places of one downward load, in force units."""
    return train_envelope(lines, (Axle(0.0, load),))


def train_envelope(lines: InfluenceLines, axles: Sequence[Axle]) -> Envelope:
    """Find the worst places of a train of axles; for the other way, turn the train round.

    Between the places where some axle stands on a deck joint every force changes in a straight line, so that
    its extremes lie at such places, or just before an axle comes on or after it has gone off at an end.

    Raises
    ------
    QuestionError
        When there is no axle, or one with a distance or load that is no number of zero or more.
    """
    behind = np.array([axle.behind for axle in axles], dtype=float)
    loads = np.array([axle.load for axle in axles], dtype=float)
    if not len(behind) or not (np.isfinite(behind) & np.isfinite(loads) & (behind >= 0) & (loads >= 0)).all():
        raise QuestionError("Give at least one axle, each with a distance and a load of zero or more.")
    count, ends = len(behind), (0, len(lines.places) - 1)
    fronts: list[float] = []
    totals: list[NDArray[np.float64]] = []
    for index in range(count):
        for place, where in enumerate(lines.places):
            front = float(where + behind[index])
            at = front - behind
            at[index] = where  # exactly, not but for rounding
            each = loads[:, None] * _ordinates(lines, at)
            fronts.append(front)
            totals.append(each.sum(axis=0))
            if place in ends:
                fronts.append(front)
                totals.append(each.sum(axis=0) - each[index])
    table = np.array(totals)
    high, low = table.argmax(axis=0), table.argmin(axis=0)
    column = np.arange(table.shape[1])
    highest, lowest = np.maximum(table[high, column], 0.0), np.minimum(table[low, column], 0.0)
    return Envelope(
        quantities=lines.quantities,
        highest=highest,
        highest_at=tuple(fronts[row] if top > 0 else None for row, top in zip(high, highest, strict=True)),
        lowest=lowest,
        lowest_at=tuple(fronts[row] if bottom < 0 else None for row, bottom in zip(low, lowest, strict=True)),
    )


def _ordinates(lines: InfluenceLines, at: NDArray[np.float64]) -> NDArray[np.float64]:
    """Read (K, M + R) ordinates at places along the deck; zero off it."""
    on = (at >= lines.places[0]) & (at <= lines.places[-1])
    after = np.clip(np.searchsorted(lines.places, at, side="right"), 1, len(lines.places) - 1)
    stretch = lines.places[after] - lines.places[after - 1]
    part = np.clip((at - lines.places[after - 1]) / stretch, 0.0, 1.0)[:, None]
    read = (1.0 - part) * lines.ordinates[after - 1] + part * lines.ordinates[after]
    return np.where(on[:, None], read, 0.0)
