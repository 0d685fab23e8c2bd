"""What an overlay shows, in pixels of the photograph: the `Scene`, made from a truss and its forces."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cli.sheets.directions import direction_axes, direction_in
from cli.sheets.numerals import Numerals
from cli.sheets.palette import sense_style
from solver import Support, Truss, load_shares

__all__ = [
    "Scene",
    "SceneArrow",
    "SceneJoint",
    "SceneMember",
    "SceneMove",
    "SceneSupport",
    "acting_loads",
    "far_ends",
    "force_label",
    "ground_normal",
    "make_scene",
]

_BESIDE = math.cos(math.radians(40))
"""A pin's triangle takes 30 degrees to either side of its middle line; members keep clear of that."""


@dataclass(frozen=True)
class SceneJoint:
    """A joint in the picture."""

    name: str
    x: float
    """Pixels, right."""
    y: float
    """Pixels, down; the first pixel's centre is at 0, 0."""
    note: str = ""
    """What stands after its name."""
    first: bool = False
    """Whether it is what gives way first."""

    @property
    def label(self) -> str:
        """What stands beside it."""
        # With the word for it: a percentage near a member could be taken for the member's.
        return f"joint {self.name} {self.note}" if self.note else self.name


@dataclass(frozen=True)
class SceneMember:
    """A member and what it carries."""

    start: int
    """Row of `Scene.joints`."""
    end: int
    """Row of `Scene.joints`."""
    force: float
    """Tension positive, force units."""
    sense: str
    """`T`, `C`, `0` or `?`."""
    label: str
    """What stands beside it; nothing stands there when it is empty."""
    used: float | None = None
    """Share of its strength that is used, in place of the force, where the picture shows that."""
    first: bool = False
    """Whether it is what gives way first."""


@dataclass(frozen=True)
class SceneSupport:
    """A support in the picture."""

    joint: int
    """Row of `Scene.joints`."""
    kind: str
    """`pin` or `roller`."""
    normal: tuple[float, float] = (0.0, -1.0)
    """From the ground into the truss: x right, y DOWN in the picture, length 1."""


@dataclass(frozen=True)
class SceneArrow:
    """A load on a joint, or one component of a reaction."""

    joint: int
    """Row of `Scene.joints`."""
    direction: tuple[float, float]
    """In the sense of the force: x right, y DOWN in the picture, length 1."""
    label: str
    """Its size with unit."""


@dataclass(frozen=True)
class SceneMove:
    """Which way to move a joint."""

    joint: int
    """Row of `Scene.joints`."""
    direction: tuple[float, float]
    """x right, y DOWN in the picture, length 1."""
    share: float
    """What it gains over what the joint gains that gains most, above 0 to 1."""
    label: str
    """What it gains."""


@dataclass(frozen=True)
class Scene:
    """Everything an overlay says."""

    width: int
    """Pixels of the picture."""
    height: int
    """Pixels of the picture."""
    joints: tuple[SceneJoint, ...]
    members: tuple[SceneMember, ...]
    supports: tuple[SceneSupport, ...] = ()
    loads: tuple[SceneArrow, ...] = ()
    reactions: tuple[SceneArrow, ...] = ()
    """Forces of the supports on the truss."""
    moves: tuple[SceneMove, ...] = ()
    force_unit: str = "kN"
    title: str = ""
    remarks: tuple[str, ...] = ()
    """Sentences under the title."""
    caution: str = ""
    numerals: Numerals = field(default_factory=Numerals)
    """How numbers are written."""

    @property
    def largest_force(self) -> float:
        """Largest |force| of a member, 0 without members."""
        return max((abs(member.force) for member in self.members), default=0.0)

    @property
    def shows_use(self) -> bool:
        """Whether members show how much of their strength is used, in place of forces."""
        return any(member.used is not None for member in self.members)

    @property
    def largest_use(self) -> float:
        """Largest share of its strength that a member uses, 0 without members."""
        return max((member.used or 0.0 for member in self.members), default=0.0)


def force_label(force: float, sense: str, numerals: Numerals) -> str:
    """Return what stands beside a member: its size and (T), (C) or (?), or 0 alone."""
    suffix = sense_style(sense).suffix
    return suffix if sense == "0" else f"{numerals.number(abs(force))} {suffix}"


def acting_loads(truss: Truss) -> list[tuple[str, float, float]]:
    """Return the loads put on joints, then what each joint takes of deck loads, self-weight and the like."""
    given = [(load.joint, load.fx, load.fy) for load in truss.loads]
    moved: dict[str, tuple[float, float]] = {}
    for share in load_shares(truss):
        fx, fy = moved.get(share.joint, (0.0, 0.0))
        moved[share.joint] = (fx + share.fx, fy + share.fy)
    return given + [(joint, fx, fy) for joint, (fx, fy) in moved.items()]


def ground_normal(truss: Truss, held: Support) -> tuple[float, float]:
    """Return the direction from a support's ground into the truss, length 1, x right, y UP.

    A roller has its own. A pin holds both ways, so its symbol is drawn where no member is: below the joint if
    there is room, else beside or above it.
    """
    if held.kind != "pin":
        length = math.hypot(*held.normal)
        return held.normal[0] / length, held.normal[1] / length
    row = truss.row[held.joint]
    rays = [
        way if start == row else -way
        for (start, end), way in zip(truss.ends, truss.directions, strict=True)
        if row in (start, end)
    ]
    into = ((0.0, -1.0), (-1.0, 0.0), (1.0, 0.0), (0.0, 1.0))
    nearest = [max((float(ray @ way) for ray in rays), default=-1.0) for way in into]
    free = [way for way, cosine in zip(into, nearest, strict=True) if cosine < _BESIDE]
    x, y = free[0] if free else into[int(np.argmin(nearest))]
    return -x, -y


def far_ends(scene: Scene, at: NDArray[np.float64]) -> list[list[NDArray[np.float64]]]:
    """Return, for each joint, the places of the other ends of its members.

    Parameters
    ----------
    scene : Scene
        Its joints and members.
    at : (N, 2) float
        Where its joints are drawn.
    """
    found: list[list[NDArray[np.float64]]] = [[] for _ in scene.joints]
    for member in scene.members:
        found[member.start].append(at[member.end])
        found[member.end].append(at[member.start])
    return found


def make_scene(
    truss: Truss,
    px: Mapping[str, tuple[float, float]],
    size: tuple[int, int],
    *,
    forces: Sequence[float],
    senses: Sequence[str],
    reactions: Sequence[tuple[str, float, float]],
    title: str = "",
    caution: str = "",
    numerals: Numerals | None = None,
    aslant: bool = False,
) -> Scene:
    """Bring a solved truss back to its photograph.

    Parameters
    ----------
    truss : Truss
        The truss that was solved.
    px : mapping of joint name to (x, y)
        Where each joint is in the picture, y down.
    size : tuple of int
        Width and height of the picture in pixels.
    forces : sequence of float
        Member forces in the order of `truss.members`, tension positive.
    senses : sequence of str
        `T`, `C`, `0` or `?` for each member.
    reactions : sequence of (joint name, fx, fy)
        Forces of the supports on the truss, y UP. A pin's are drawn as two components, a roller's as one
        arrow.
    title, caution : str
        Printed under the picture.
    numerals : Numerals, optional
        How numbers are written; three significant figures with a decimal point by default.
    aslant : bool
        Whether the photograph is known to be seen aslant, see `direction_axes`.
    """
    written = numerals or Numerals()
    rows = {joint.name: row for row, joint in enumerate(truss.joints)}
    at = np.array([(joint.x, joint.y) for joint in truss.joints], dtype=float)
    axes = direction_axes(
        at, np.array([px[joint.name] for joint in truss.joints], dtype=float), aslant=aslant
    )
    applied = [math.hypot(fx, fy) for _, fx, fy in acting_loads(truss)]
    nothing = 1e-9 * max([abs(force) for force in forces] + applied, default=0.0)

    def arrows(
        joint: str, fx: float, fy: float, write: Callable[[float], str] = written.number
    ) -> list[SceneArrow]:
        amount = math.hypot(fx, fy)
        if amount <= nothing:
            return []
        text = f"{write(amount)} {truss.force_unit}"
        return [SceneArrow(rows[joint], direction_in(axes, fx, fy), text)]

    kinds = {support.joint: support.kind for support in truss.supports}
    pushed: list[SceneArrow] = []
    for joint, fx, fy in reactions:
        parts = [(fx, 0.0), (0.0, fy)] if kinds.get(joint) == "pin" else [(fx, fy)]
        for part in parts:
            pushed.extend(arrows(joint, *part))
    return Scene(
        width=size[0],
        height=size[1],
        joints=tuple(
            SceneJoint(joint.name, float(px[joint.name][0]), float(px[joint.name][1]))
            for joint in truss.joints
        ),
        members=tuple(
            SceneMember(
                rows[member.start], rows[member.end], float(force), sense, force_label(force, sense, written)
            )
            for member, force, sense in zip(truss.members, forces, senses, strict=True)
        ),
        supports=tuple(
            SceneSupport(
                rows[support.joint],
                support.kind,
                direction_in(axes, *ground_normal(truss, support)),
            )
            for support in truss.supports
        ),
        loads=tuple(arrow for load in acting_loads(truss) for arrow in arrows(*load, written.given)),
        reactions=tuple(pushed),
        force_unit=truss.force_unit,
        title=title,
        caution=caution,
        numerals=written,
    )
