"""Where the joints are in the plane, worked out once for each shape.

Of all that is done to a model only the survey takes long, and most edits leave the shape alone: loads,
supports, stocks, names of things. The steps, the sections and the strength of one revision share it too.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from cli.model.file import Model
from cli.translate.places import Placed, place

__all__ = ["placed"]

REMEMBERED = 8
"""Shapes. Going back and forth by undo finds the last few again."""


@dataclass(frozen=True)
class _Shape:
    """What of a model says where its joints are."""

    parts: tuple[object, ...]
    model: Model = field(compare=False)


def placed(model: Model) -> Placed:
    """Return where the joints of a model are; raises as `cli.translate.places.place` does."""
    parts = (
        model.joints,
        tuple(member.joints for member in model.members),
        model.dimensions,
        model.view,
        model.level,
        model.units,
        bool(model.deck_loads or model.self_weight),
    )
    return _placed(_Shape(parts, model))


@lru_cache(maxsize=REMEMBERED)
def _placed(shape: _Shape) -> Placed:
    return place(shape.model)
