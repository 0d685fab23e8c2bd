"""Where an edit puts a joint: in the picture, or in the plane where there is no picture."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from pydantic import Field

from cli.model.file import Model
from cli.model.parts import JointEntry
from cli.page.edits.base import Edit, Pair, drawn_at
from cli.page.errors import EditError

__all__ = ["Placed", "joint_entry"]

HAND_ERROR = 1.0
"""Pixels. Standard error of a joint that a person put on the ink with the magnifier's help."""

COINCIDENT_PX = 0.5
"""Pixels. Joints nearer than this would be one joint."""


class Placed(Edit):
    """An edit that puts a joint somewhere: in the picture, or in the plane where there is no picture."""

    px: Pair | None = Field(default=None, description="In the picture, pixels, x right, y down.")
    at: Pair | None = Field(default=None, description="In the plane, length units, x right, y up.")

    def place(self, model: Model, name: str) -> dict[str, Any]:
        """Return the new place of a joint as fields of its entry.

        In a picture whose joints all have places typed by hand and no dimensions, the places are what counts,
        so the moved joint gets its own by the affine map that fits them best.
        """
        if (self.px is None) == (self.at is None):
            raise EditError("A joint has one place.", 'Give either "px" or "at".')
        if self.px is None:
            if any(joint.px is not None for joint in model.joints):
                raise EditError("This model has a picture.", "Give the place in the picture.")
            _refuse_coincident(model, name, self.at, lambda joint: joint.at)
            return {"at": self.at, "px": None, "px_error": None}
        if model.joints and all(joint.px is None for joint in model.joints):
            raise EditError("This model has no picture.", "Give the place in the plane.")
        _refuse_coincident(model, name, self.px, lambda joint: joint.px)
        return {"px": self.px, "at": _plane_place(model, self.px), "px_error": HAND_ERROR}


def joint_entry(**fields: Any) -> JointEntry:
    """Return the entry of a joint.

    Raises
    ------
    EditError
        When its name cannot be one.
    """
    try:
        return JointEntry(**fields)
    except ValueError:
        raise EditError(
            f'"{fields["name"]}" cannot be the name of a joint.', "Use letters and digits, without blanks."
        ) from None


def _refuse_coincident(model: Model, name: str, place: Any, where: Any) -> None:
    for joint in model.joints:
        other = where(joint)
        if (
            joint.name != name
            and other is not None
            and math.dist(other, place) < COINCIDENT_PX * _grain(model)
        ):
            raise EditError(
                f"Joint {joint.name} is there already.",
                f"To make one joint of both, merge {name} into {joint.name}."
                if name
                else "Choose another place.",
            )


def _grain(model: Model) -> float:
    """Return one pixel, or without a picture a thousandth of the truss's size."""
    if any(joint.px is not None for joint in model.joints):
        return 1.0
    drawn = np.array([drawn_at(joint) for joint in model.joints])
    return float(np.ptp(drawn, axis=0).max()) / 1000


def _plane_place(model: Model, px: tuple[float, float]) -> tuple[float, float] | None:
    """Return where a point is by hand-typed places of the joints as they were, if those are in use."""
    if model.dimensions or model.view is not None or any(joint.at is None for joint in model.joints):
        return None
    known = [(joint.px, joint.at) for joint in model.joints if joint.px is not None]
    picture = np.array([[*place, 1.0] for place, _ in known]).reshape(-1, 3)
    if np.linalg.matrix_rank(picture) < 3:
        return None
    plane = np.array([at for _, at in known])
    fitted = np.array([*px, 1.0]) @ np.linalg.lstsq(picture, plane, rcond=None)[0]
    return float(fitted[0]), float(fitted[1])
