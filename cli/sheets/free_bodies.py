"""The free-body diagram of a joint, from the step of a worked solution that is about it.

Directions are those of the truss. What is known by then has its own colour, sense and size; an unknown member
force is drawn as tension, pulling away from its joint, and named F with the ends of its member.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cli.sheets.angles import Corner, draw_angle
from cli.sheets.candidates import around_arrow, around_joint
from cli.sheets.easel import ANYWHERE, Easel, Figure, compose
from cli.sheets.figures import pushes_up
from cli.sheets.marks import Text, quad
from cli.sheets.palette import INK, SENSES
from cli.sheets.paper_truss import FigureSettings
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import arrow, ring, ring_boxes
from solver import Solution, Truss, joint_loads
from solver.steps import CheckStep, Equation, JointStep, Quantity, Slope, Term

__all__ = [
    "Force",
    "at_joint",
    "draw_forces",
    "force_name",
    "forces_of",
    "joint_figure",
    "joint_ring",
    "reaction_index",
]

Array = NDArray[np.float64]

_UNKNOWN = 3.4
"""Length of an unknown force's arrow, in ems."""
_SHORTEST, _LONGEST = 2.4, 4.6
"""Lengths of known forces' arrows, nothing to the largest of the figure, in ems."""
_CLEAR = math.radians(24)
"""Angle that an arrow keeps from those there; closer, it goes to the other side or farther out."""
_ARC = 1.7
"""Radius of the first angle's arc, in ems."""


@dataclass(frozen=True, eq=False)
class Force:
    """A force to be drawn at a joint."""

    direction: Array
    """(2,) unit vector in its own sense, x right, y DOWN."""
    text: Text
    size: float | None
    """Force units; None while unknown."""
    colour: str
    slashed: bool
    pulls: bool
    """Drawn with its tail at the joint (members in tension, unknown ones) or its tip (the rest)."""
    bound: bool
    """Whether it must stand on its member's side of the joint."""


def force_name(joints: tuple[str, ...]) -> str:
    """Return the small letters of a member force: AB, or L0–L1 where names are longer."""
    return ("" if all(len(name) == 1 for name in joints) else "–").join(joints)


def reaction_index(truss: Truss, quantity: Quantity) -> str:
    """Return the small letter of a reaction: y for a roller that pushes straight up, as is common."""
    if quantity.axis != "n":
        return quantity.axis
    normal = next(held.normal for held in truss.supports if held.joint == quantity.joints[0])
    return "y" if pushes_up(normal) else "n"


def joint_figure(
    truss: Truss, step: JointStep | CheckStep, *, settings: FigureSettings | None = None
) -> Figure:
    """Return the free-body diagram of a joint as it stands when its step begins.

    Parameters
    ----------
    truss : Truss
        The truss that is solved.
    step : JointStep or CheckStep
        What is known there and what is sought. Forces known to be zero are left out.
    settings : FigureSettings, optional
        Size and numbers.
    """
    settings = settings or FigureSettings()
    terms = _terms(step.equations)
    slopes = step.slopes if isinstance(step, JointStep) else ()

    def build(sizes: Sizes) -> Easel:
        easel = Easel(sizes)
        joint_ring(easel, np.zeros(2))
        forces = [force for term in terms for force in forces_of(truss, term, step.joint, sizes, settings)]
        # The level lines of angles lie under the arrows.
        _draw_angles(easel, slopes, settings)
        rays = draw_forces(easel, np.zeros(2), forces)
        text = Text(step.joint, 0, 0, sizes.text, INK, "semibold")
        easel.write(
            text,
            around_joint(
                text,
                np.zeros(2),
                radius=sizes.name_reach,
                neighbours=rays,
                middle_of_truss=np.zeros(2),
                frame=ANYWHERE,
            ),
        )
        return easel

    return compose(build, settings.em, title=f"Free-body diagram of joint {step.joint}")


def _terms(equations: Iterable[Equation]) -> list[Term]:
    """Return one term for each force that equations speak of, in their order."""
    found: dict[Quantity, Term] = {}
    for equation in equations:
        for term in equation.terms:
            found.setdefault(term.quantity, term)
    return list(found.values())


def forces_of(truss: Truss, term: Term, joint: str, sizes: Sizes, settings: FigureSettings) -> list[Force]:
    """Return the force of a term at a joint, none where it is known to be zero."""
    quantity, value = term.quantity, term.value
    if value is not None and abs(value) < _nothing(truss):
        return []
    numerals, unit = settings.numerals, truss.force_unit
    if quantity.kind == "member":
        other = next(name for name in quantity.joints if name != joint)
        along = truss.at[truss.row[other]] - truss.at[truss.row[joint]]
        towards = np.array([along[0], -along[1]]) / np.hypot(*along)
        name = force_name(quantity.joints)
        if value is None:
            text = Text("F", 0, 0, sizes.text, INK, "semibold", index=name)
            return [Force(towards, text, None, INK, slashed=False, pulls=True, bound=True)]
        style = SENSES["T" if value > 0 else "C"]
        words = f"{name}: {numerals.number(abs(value))} {unit} {style.suffix}"
        text = Text(words, 0, 0, sizes.text, style.text_colour, "semibold")
        return [
            Force(
                towards * np.sign(value),
                text,
                abs(value),
                style.colour,
                slashed=False,
                pulls=value > 0,
                bound=True,
            )
        ]
    direction = _direction(truss, quantity)
    if value is None:
        text = Text(quantity.joints[0], 0, 0, sizes.text, INK, index=reaction_index(truss, quantity))
        return [Force(direction, text, None, INK, slashed=True, pulls=False, bound=False)]
    load = quantity.kind == "load"
    size = numerals.given(abs(value)) if load else numerals.number(abs(value))
    text = Text(f"{size} {unit}", 0, 0, sizes.text, INK)
    return [
        Force(direction * np.sign(value), text, abs(value), INK, slashed=not load, pulls=False, bound=False)
    ]


def _nothing(truss: Truss) -> float:
    """Return the force that counts as none: rounding of the largest load."""
    return 1e-9 * max((math.hypot(load.fx, load.fy) for load in truss.loads), default=1.0)


def _direction(truss: Truss, quantity: Quantity) -> Array:
    """Return the unit vector of a load's or reaction's positive part, x right, y DOWN."""
    if quantity.axis == "x":
        return np.array([1.0, 0.0])
    if quantity.axis == "y":
        return np.array([0.0, -1.0])
    normal = next(item.normal for item in truss.supports if item.joint == quantity.joints[0])
    return np.array([normal[0], -normal[1]]) / math.hypot(*normal)


def joint_ring(easel: Easel, at: Array) -> None:
    """Draw a joint."""
    sizes = easel.sizes
    box = ring_boxes(at, sizes.joint + sizes.line / 2)
    easel.draw(ring(float(at[0]), float(at[1]), sizes.joint, sizes.line), [box])


def at_joint(solution: Solution, joint: str) -> list[Term]:
    """Return load and reaction at a joint as known terms, in parts to the right and up."""
    truss = solution.truss
    fx, fy = joint_loads(truss)[truss.row[joint]]
    terms = [
        Term(Quantity("load", (joint,), axis), 1.0, float(value)) for axis, value in (("x", fx), ("y", fy))
    ]
    for item in solution.reactions:
        if item.joint == joint and item.kind == "roller":
            push = next(held.normal for held in truss.supports if held.joint == joint)
            size = (item.fx * push[0] + item.fy * push[1]) / math.hypot(*push)
            terms.append(Term(Quantity("reaction", (joint,), "n"), 1.0, size))
        elif item.joint == joint:
            terms.append(Term(Quantity("reaction", (joint,), "x"), 1.0, item.fx))
            terms.append(Term(Quantity("reaction", (joint,), "y"), 1.0, item.fy))
    return terms


def draw_forces(
    easel: Easel, at: Array, forces: list[Force], taken: Iterable[Array] = (), *, level: bool = False
) -> list[Array]:
    """Draw forces round a joint, members' first.

    Parameters
    ----------
    easel : Easel
        Where to.
    at : (2,) float
        The joint.
    forces : list of Force
        What acts there.
    taken : iterable of (2,) float
        Directions from the joint in which something is drawn already.
    level : bool
        All arrows equally long, where their lengths could not be compared over the figure.

    Returns
    -------
    list of (2,) float
        The outer end of each arrow.
    """
    sizes = easel.sizes
    largest = max((force.size for force in forces if force.size), default=1.0)
    rays = [np.asarray(ray) for ray in taken]
    ends: list[Array] = []
    for force in sorted(forces, key=lambda item: not item.bound):
        length = (_SHORTEST if level else _UNKNOWN) * sizes.unit
        if force.size is not None and not level:
            length = (_SHORTEST + (_LONGEST - _SHORTEST) * force.size / largest) * sizes.unit
        outward, start = force.direction * (1.0 if force.pulls else -1.0), sizes.joint + 1.6 * sizes.line
        pulls = force.pulls
        if not force.bound and not _clear(outward, rays):
            if _clear(-outward, rays):
                outward, pulls = -outward, not pulls
            else:
                # Both sides are taken: beyond the arrows that are there.
                start += (_LONGEST + 2.2) * sizes.unit
        near, far = at + outward * start, at + outward * (start + length)
        tail, tip = (near, far) if pulls else (far, near)
        shape = sizes.arrow
        easel.draw(
            arrow(
                (float(tail[0]), float(tail[1])),
                (float(tip[0]), float(tip[1])),
                shape,
                force.colour,
                slashed=force.slashed,
            ),
            [quad(near, far, shape.head_width * (1.1 if force.slashed else 1.0))],
        )
        easel.write(
            force.text,
            around_arrow(
                force.text,
                near,
                far,
                outward=outward,
                half_width=shape.head_width * 0.55,
                gap=sizes.gap,
                frame=ANYWHERE,
            ),
        )
        rays.append(outward)
        ends.append(far)
    return ends


def _clear(outward: Array, rays: list[Array]) -> bool:
    return all(float(outward @ ray) < math.cos(_CLEAR) for ray in rays)


def _draw_angles(easel: Easel, slopes: Iterable[Slope], settings: FigureSettings) -> None:
    """Draw the angle of each inclined member with the level, as an arc with its degrees."""
    levels: set[float] = set()
    used: dict[tuple[float, float], int] = {}
    for slope in slopes:
        side, up = math.copysign(1.0, slope.run), math.copysign(1.0, slope.rise)
        radius = (_ARC + 0.9 * used.get((side, up), 0)) * easel.sizes.unit
        used[side, up] = used.get((side, up), 0) + 1
        corner = Corner(np.zeros(2), side, up, math.radians(slope.angle), radius)
        draw_angle(easel, corner, f"{settings.numerals.number(slope.angle)}°", level=side not in levels)
        levels.add(side)
