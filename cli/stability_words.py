"""Why a truss has no unique answer: what moves and what is too much, by name, in the words of `wording`."""

from __future__ import annotations

from collections.abc import Sequence

from cli.wording import ENGLISH, StabilityWords, Wording
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


def motion_words(movement: Movement, wording: Wording = ENGLISH) -> str:
    """Say what a mechanism does."""
    words = wording.stability
    if movement.whole:
        return _whole(movement, words)
    if movement.racking:
        panels = [" ".join(panel) for panel in movement.racking[:PANELS_LISTED]]
        sentence = words.panels_rack if len(movement.racking) > 1 else words.panel_racks
        return sentence.format(panels=wording.common.last.join(panels))
    sentence = words.joint_moves if len(movement.moving) == 1 else words.joints_move
    return sentence.format(joints=_listed(movement.moving, wording))


def _whole(movement: Movement, words: StabilityWords) -> str:
    """Say that a truss turns, or where it slides: all joints alike, by 1."""
    if movement.kind != "slides":
        return words.whole_turns
    across, up = (abs(float(part)) for part in movement.displacements[0])
    if across >= STRAIGHT:
        return words.whole_slides_sideways
    return words.whole_slides_up if up >= STRAIGHT else words.whole_slides_at_a_slant


def _listed(names: Sequence[str], wording: Wording) -> str:
    """List names; what is too many is counted, and what is not closes with an `and`."""
    common, more = wording.common, len(names) - NAMES_LISTED
    listed = common.separator.join(names[:NAMES_LISTED])
    return listed + (common.last + common.more.format(count=more) if more > 0 else "")


def no_answer_words(stability: Stability, wording: Wording = ENGLISH) -> str:
    """Say why equilibrium does not give one answer, and what to do about it.

    The count m + r against 2j is not repeated here: commands print it by itself.

    Parameters
    ----------
    stability
        Of a truss that is not determinate.
    wording
        The language to say it in.
    """
    parts = []
    if stability.mechanisms:
        parts.append(_moves(stability, wording))
    if stability.self_stress:
        parts.append(_too_much(stability, wording))
    return " ".join(parts)


def _moves(stability: Stability, wording: Wording) -> str:
    words, ways = wording.stability, stability.mechanisms
    parts = [words.moves_in_ways.format(ways=ways) if ways > 1 else words.moves]
    described = list(dict.fromkeys(motion_words(each, wording) for each in stability.movements))
    parts += described[:WAYS_LISTED]
    if stability.m + stability.r >= 2 * stability.j:
        parts.append(words.count_hides_it)
    parts.append(_cure(stability, words))
    return " ".join(parts)


def _cure(stability: Stability, words: StabilityWords) -> str:
    whole = [movement for movement in stability.movements if movement.whole]
    if whole and stability.r < REACTIONS_NEEDED:
        return words.add_support
    if any(movement.kind == "slides" for movement in whole):
        # A pin anywhere would stop it, so all the supports are rollers, and all push along one line.
        return words.rollers_in_line
    if whole:
        # What is left: the reactions all pass through the point that the truss turns about.
        return words.through_one_point
    racking = [panel for movement in stability.movements for panel in movement.racking]
    if racking:
        return words.put_diagonal if len(racking) == 1 else words.put_diagonals
    return words.add_member


def _too_much(stability: Stability, wording: Wording) -> str:
    words, degree = wording.stability, stability.self_stress
    more = words.one_more if degree == 1 else words.several_more.format(degree=degree)
    sentence = words.indeterminate_elsewhere if stability.mechanisms else words.indeterminate
    text = sentence.format(degree=degree, more=more)
    members = list(dict.fromkeys("-".join(ends) for each in stability.redundancies for ends in each.members))
    supports = list(dict.fromkeys(joint for each in stability.redundancies for joint in each.supports))
    sharing = [
        (one if len(names) == 1 else several).format(names=_listed(names, wording))
        for names, one, several in (
            (members, words.one_member, words.several_members),
            (supports, words.one_support, words.several_supports),
        )
        if names
    ]
    if not sharing:
        return text
    if supports:
        cure = words.one_or_roller if degree == 1 else words.several_or_roller
    else:
        cure = words.take_one if degree == 1 else words.take_several
    shared = words.shared_by.format(sharing=wording.common.last.join(sharing))
    return f"{text} {shared} {cure.format(degree=degree)}"
