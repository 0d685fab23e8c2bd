"""What was read, in words with the joints' names: what is not certain, what was seen beside the truss."""

from __future__ import annotations

from collections.abc import Sequence

from cli.model_file import Model

__all__ = ["DOUBTFUL", "reading_remarks"]

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
    return (*_doubts(model), *_beside(model), *seen)


def _doubts(model: Model) -> tuple[str, ...]:
    joints = [joint.name for joint in model.joints if _doubted(joint.confidence)]
    members = ["-".join(member.joints) for member in model.members if _doubted(member.confidence)]
    parts = [
        f"{one if len(names) == 1 else one + 's'} {_listed(names)}"
        for one, names in (("joint", joints), ("member", members))
        if names
    ]
    return (f"Not certain: {' and '.join(parts)}. Please look.",) if parts else ()


def _doubted(confidence: float | None) -> bool:
    return confidence is not None and confidence < DOUBTFUL


def _listed(names: Sequence[str]) -> str:
    if len(names) > MOST_NAMED:
        return f"{', '.join(names[:MOST_NAMED])} and {len(names) - MOST_NAMED} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _beside(model: Model) -> tuple[str, ...]:
    """Name the supports and arrows that were seen."""
    seen = [f"a {support.kind} at {support.joint}" for support in model.supports]
    seen += [f"an arrow at {load.joint}" for load in model.loads if load.force is None]
    if not seen:
        return ()
    sizes = any(load.force is None for load in model.loads)
    asked = "Confirm them, and give each load its size" if sizes else "Confirm them"
    return (f"Seen beside the truss: {_listed(seen)}. {asked}: nothing of it is used before.",)
