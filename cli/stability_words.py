"""Why a truss has no unique answer, in plain words: what moves and what is too much, by name."""

from __future__ import annotations

from collections.abc import Sequence

from solver import Movement, Stability

__all__ = ["motion_words", "no_answer_words"]

NAMES_LISTED = 8
PANELS_LISTED = 3
WAYS_LISTED = 3
"""Ways of moving that are described; more than three sentences of them nobody reads."""
STRAIGHT = 0.999
"""Cosine: a movement within some 2.5 degrees of a direction is said to go there."""
REACTIONS_NEEDED = 3
"""A rigid body in the plane can move in three ways, and each needs one reaction."""


def motion_words(movement: Movement) -> str:
    """Say what a mechanism does."""
    if movement.whole:
        way = f"slides {_way(movement)}" if movement.kind == "slides" else "turns"
        return f"The whole truss {way}: its supports do not hold it."
    if movement.racking:
        panels = " and ".join(" ".join(panel) for panel in movement.racking[:PANELS_LISTED])
        return f"The panel{'s' if len(movement.racking) > 1 else ''} {panels} can rack."
    moving = movement.moving
    return f"Joint {moving[0]} moves." if len(moving) == 1 else f"Joints {_listed(moving)} move."


def _way(movement: Movement) -> str:
    """Say where a sliding truss goes; all its joints go alike, and the largest displacement is 1."""
    across, up = (abs(float(part)) for part in movement.displacements[0])
    if across >= STRAIGHT:
        return "sideways"
    return "up and down" if up >= STRAIGHT else "at a slant"


def _listed(names: Sequence[str]) -> str:
    more = len(names) - NAMES_LISTED
    return ", ".join(names[:NAMES_LISTED]) + (f" and {more} more" if more > 0 else "")


def no_answer_words(stability: Stability) -> str:
    """Say why equilibrium does not give one answer, and what to do about it.

    The count m + r against 2j is not repeated here: commands print it by itself.

    Parameters
    ----------
    stability
        Of a truss that is not determinate.
    """
    parts = []
    if stability.mechanisms:
        parts.append(_moves(stability))
    if stability.self_stress:
        parts.append(_too_much(stability))
    return " ".join(parts)


def _moves(stability: Stability) -> str:
    ways = stability.mechanisms
    parts = ["The truss can still move" + (f" in {ways} ways." if ways > 1 else ".")]
    described = list(dict.fromkeys(motion_words(each) for each in stability.movements))
    parts += described[:WAYS_LISTED]
    if stability.m + stability.r >= 2 * stability.j:
        parts.append("The count alone does not show it: members or supports are not where they are needed.")
    parts.append(_cure(stability))
    return " ".join(parts)


def _cure(stability: Stability) -> str:
    whole = [movement for movement in stability.movements if movement.whole]
    if whole and stability.r < REACTIONS_NEEDED:
        return "Add a support: most often a pin holds one end and a roller the other."
    if any(movement.kind == "slides" for movement in whole):
        # A pin anywhere would stop it, so all the supports are rollers, and all push along one line.
        return "All its rollers push along one line: turn one of them, or use a pin in its place."
    if whole:
        # What is left: the reactions all pass through the point that the truss turns about.
        return "All its supports push through one point: turn or move one of them."
    racking = [panel for movement in stability.movements for panel in movement.racking]
    if racking:
        return "Put a diagonal into it." if len(racking) == 1 else "Put a diagonal into each such panel."
    return "Add a member or a support where it moves."


def _too_much(stability: Stability) -> str:
    degree = stability.self_stress
    more = "one member or reaction" if degree == 1 else f"{degree} members or reactions"
    where = " elsewhere" if stability.mechanisms else ""
    text = (
        f"The truss is statically indeterminate to degree {degree}{where}: it has {more} more than "
        "equilibrium needs, so equilibrium alone cannot find the forces."
    )
    members = list(dict.fromkeys("-".join(ends) for each in stability.redundancies for ends in each.members))
    supports = list(dict.fromkeys(joint for each in stability.redundancies for joint in each.supports))
    sharing = [
        *([f"member{'s' if len(members) > 1 else ''} {_listed(members)}"] if members else []),
        *([f"the support{'s' if len(supports) > 1 else ''} at {_listed(supports)}"] if supports else []),
    ]
    if sharing:
        cure = "Take one of them away" if degree == 1 else f"Take {degree} of them away"
        pin = ", or make a pin a roller" if supports else ""
        text += f" What shares these forces: {' and '.join(sharing)}. {cure}{pin}."
    return text
