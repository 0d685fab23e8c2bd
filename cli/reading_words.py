"""What was read, in words with the joints' names: what is not certain, what was seen beside the truss."""

from __future__ import annotations

from collections.abc import Sequence

from cli.drawings import separate_drawings
from cli.lists import listed
from cli.model.file import Model

__all__ = ["DOUBTFUL", "MOST_NAMED", "reading_remarks"]

DOUBTFUL = 0.7
"""Confidence below which a joint or member is pointed out.

At 0.9 a shaky sketch that is read rightly gives eighteen questions, and nobody answers eighteen questions."""

MOST_NAMED = 12
"""Joints or members named in one sentence; a reading with more doubts is looked at as a whole."""


def reading_remarks(model: Model, seen: Sequence[str]) -> tuple[str, ...]:
    """Return sentences for the person about a model that was just read.

    Parameters
    ----------
    model
        Unconfirmed, as read.
    seen
        What the reading itself had to say, without names.
    """
    return (*_doubts(model), *_beside(model), *_apart(model), *seen)


def _doubts(model: Model) -> tuple[str, ...]:
    joints = [joint.name for joint in model.joints if _doubted(joint.confidence)]
    members = ["-".join(member.joints) for member in model.members if _doubted(member.confidence)]
    parts = [
        f"{one if len(names) == 1 else one + 's'} {listed(names, most=MOST_NAMED)}"
        for one, names in (("joint", joints), ("member", members))
        if names
    ]
    return (f"Not certain: {' and '.join(parts)}. Please look.",) if parts else ()


def _doubted(confidence: float | None) -> bool:
    return confidence is not None and confidence < DOUBTFUL


def _beside(model: Model) -> tuple[str, ...]:
    """Name the supports and arrows that were seen."""
    seen = [f"a {support.kind} at {support.joint}" for support in model.supports]
    seen += [f"an arrow at {load.joint}" for load in model.loads if load.force is None]
    if not seen:
        return ()
    sizes = any(load.force is None for load in model.loads)
    asked = "Confirm them, and give each load its size" if sizes else "Confirm them"
    return (
        f"Seen beside the truss: {listed(seen, most=MOST_NAMED)}. {asked}: nothing of it is used before.",
    )


def _apart(model: Model) -> tuple[str, ...]:
    """Name the drawings that were read beside the largest one."""
    return tuple(
        f"Joints {listed(names, most=MOST_NAMED)} are a drawing of their own: delete them if they are not "
        "part of your truss."
        for names in separate_drawings(model)[1:]
    )
