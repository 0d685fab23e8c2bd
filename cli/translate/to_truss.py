"""From a model and the places of its joints to the truss that is solved."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cli.errors import FaultsError
from cli.model.file import Model
from solver import DeckLoad, Joint, Load, Member, Support, Truss

__all__ = ["truss_of"]


def truss_of(model: Model, at: NDArray[np.float64]) -> Truss:
    """Return the idealised truss.

    Parameters
    ----------
    model
        Members, supports, loads and units.
    at : (N, 2) float
        Where its joints are, length units, y up.

    Raises
    ------
    FaultsError
        When a load has no size yet.
    TrussError
        When the truss has faults.
    """
    unsized = [
        f"loads[{row}]: the arrow at joint {load.joint} was seen without its size: replace its "
        '"px_direction" by "force": [x, y], y up, or remove it.'
        for row, load in enumerate(model.loads)
        if load.force is None
    ]
    if unsized:
        raise FaultsError(tuple(unsized))
    return Truss(
        joints=tuple(
            Joint(joint.name, float(x), float(y)) for joint, (x, y) in zip(model.joints, at, strict=True)
        ),
        members=tuple(Member(*member.joints, weight=model.self_weight or 0.0) for member in model.members),
        supports=tuple(
            Support(support.joint, support.kind, support.normal or (0.0, 1.0)) for support in model.supports
        ),
        loads=tuple(Load(load.joint, *load.force) for load in model.loads if load.force is not None),
        length_unit=model.units.length,
        force_unit=model.units.force,
        deck_loads=tuple(DeckLoad(deck.joints, *deck.force) for deck in model.deck_loads),
    )
