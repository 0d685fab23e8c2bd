"""The strength of a truss on its photograph: what each member uses of it, and which way to move joints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from cli.cautions import caution_text
from cli.errors import NoGainError
from cli.sheets.directions import direction_axes, direction_in
from cli.sheets.palette import sense_style
from cli.sheets.scene import (
    Scene,
    SceneMember,
    SceneMove,
    make_scene,
)
from cli.strength.report import StrengthAnswer
from cli.strength.shape import move_figure, moves_of, step_length
from cli.strength.words import AVERAGES, TESTING

__all__ = ["moves_scene", "used_label", "used_scene"]

SEEN = 0.005
"""Of its strength: what is used less rounds to no percent at all."""


def used_scene(
    answer: StrengthAnswer,
    px: Mapping[str, tuple[float, float]],
    size: tuple[int, int],
    *,
    senses: tuple[str, ...],
    aslant: bool = False,
) -> Scene:
    """Make the scene that shows how much of its strength every member and joint uses.

    Parameters
    ----------
    answer
        Of `strength_of`.
    px
        Where each joint is in the picture, y down.
    size
        Width and height of the picture in pixels.
    senses
        `T`, `C`, `0` or `?` of each member.
    aslant
        Whether the photograph is known to be seen aslant, see `direction_axes`.
    """
    standing, solution = answer.standing, answer.standing.demand.solution
    plain = make_scene(
        solution.truss,
        px,
        size,
        forces=solution.forces.tolist(),
        senses=senses,
        reactions=[(reaction.joint, reaction.fx, reaction.fy) for reaction in solution.reactions],
        title=answer.title or "",
        caution=f"{AVERAGES} {TESTING} {caution_text()}",
        aslant=aslant,
    )
    first = {check.joints for check in standing.governing}
    members = tuple(
        replace(
            member,
            label=used_label(check.utilization, member.sense, first=check.joints in first),
            used=check.utilization,
            first=check.joints in first,
        )
        for member, check in zip(plain.members, standing.checks, strict=False)
    )
    glued = {check.joints[0]: check for check in standing.checks[len(members) :]}
    joints = tuple(
        replace(
            joint,
            note=used_label(glued[joint.name].utilization, "", first=(joint.name,) in first),
            first=(joint.name,) in first,
        )
        if joint.name in glued
        else joint
        for joint in plain.joints
    )
    said = f"The figures are for the given load, {answer.given_load} in all. {answer.prediction}"
    if standing.load_factor < 1:
        said += " What uses more than 100% would have given way under the given load."
    return replace(plain, members=members, joints=joints, remarks=(said,))


def used_label(used: float, sense: str, *, first: bool) -> str:
    """Return what stands beside a member or joint: percent, (T) or (C), and whether it is the first to go."""
    if sense == "0":
        return sense_style(sense).suffix
    percent = f"{used:.0%}" if used >= SEEN else "<1%"
    suffix = f" ({sense})" if sense else ""
    return f"{percent}{suffix}{' first' if first else ''}"


def moves_scene(
    answer: StrengthAnswer,
    px: Mapping[str, tuple[float, float]],
    size: tuple[int, int],
    *,
    senses: tuple[str, ...],
    aslant: bool = False,
) -> Scene:
    """Make the scene that shows which way to move each joint to hold more for every gram.

    Parameters are those of `used_scene`.

    Raises
    ------
    NoGainError
        When nothing small that moves a joint gains anything, or the truss is indeterminate.
    """
    standing = answer.standing
    moves = [] if answer.shape is None else moves_of(answer.shape, standing)
    if not moves:
        raise NoGainError(determinate=standing.demand.determinate)
    used = used_scene(answer, px, size, senses=senses, aslant=aslant)
    truss = standing.demand.truss
    places = np.array([px[joint.name] for joint in truss.joints], dtype=float)
    axes = direction_axes(truss.at, places, aslant=aslant)
    largest = max(move.gain for move in moves)
    step = step_length(truss)
    arrows = tuple(
        SceneMove(
            truss.row[move.joint],
            direction_in(axes, move.right, move.up),
            move.gain / largest,
            move_figure(move),
        )
        for move in moves
    )
    said = (
        f"Gain in load held per gram for each {step.words} that a joint moves, the stock staying as it is. "
        "Move the joints together, each in proportion to its figure, and by little: soon another member goes "
        "first."
    )
    quiet: tuple[SceneMember, ...] = tuple(
        replace(member, label="first" if member.first else "") for member in used.members
    )
    return replace(
        used, members=quiet, loads=(), reactions=(), moves=arrows, remarks=(answer.prediction, said)
    )
