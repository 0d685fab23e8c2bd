"""Confirming a reading with what a person said about the same picture before."""

from __future__ import annotations

from typing import Any

import numpy as np

from cli.errors import ReadingDiffersError
from cli.model.file import Model

__all__ = ["confirmed_by"]

SAME_JOINT_SHARE = 0.025
"""Of the drawing's larger side. Joints nearer than this are the same one; others are farther apart."""


def confirmed_by(reading: Model, known: Model) -> Model:
    """Return a reading with supports, loads, dimensions and title of a confirmed model of the same picture.

    Joints are matched by where they are in the picture; they keep the names, places and errors as read.

    Parameters
    ----------
    reading
        As read.
    known
        As confirmed before.

    Raises
    ------
    ReadingDiffersError
        When the reading does not have the same joints and members.
    """
    read_px, known_px = (
        np.array([joint.px for joint in model.joints if joint.px is not None], dtype=float).reshape(-1, 2)
        for model in (reading, known)
    )
    apart = np.linalg.norm(known_px[:, None] - read_px, axis=2)
    near = SAME_JOINT_SHARE * float(np.ptp(known_px, axis=0).max())
    matched = {
        known.names[row]: reading.names[int(distances.argmin())]
        for row, distances in enumerate(apart)
        if distances.min(initial=np.inf) <= near
    }
    if len(matched) < len(known.joints) or len(set(matched.values())) < len(reading.joints):
        raise ReadingDiffersError(len(known.joints), len(reading.joints))
    wanted = {frozenset(matched[name] for name in member.joints) for member in known.members}
    found = {frozenset(member.joints) for member in reading.members}
    if wanted != found:
        raise ReadingDiffersError(len(known.joints), len(reading.joints), len(wanted ^ found))

    def renamed(entry: Any, *keys: str) -> Any:
        return entry.model_copy(update={key: matched[getattr(entry, key)] for key in keys})

    return reading.model_copy(
        update={
            "title": known.title,
            "confirmed": True,
            "units": known.units,
            "supports": tuple(renamed(support, "joint") for support in known.supports),
            "loads": tuple(renamed(load, "joint") for load in known.loads),
            "deck_loads": tuple(
                deck.model_copy(update={"joints": tuple(matched[name] for name in deck.joints)})
                for deck in known.deck_loads
            ),
            "self_weight": known.self_weight,
            "dimensions": tuple(renamed(dimension, "start", "end") for dimension in known.dimensions),
            "level": None if known.level is None else tuple(matched[name] for name in known.level),
        }
    )
