"""The worked solution as data: what a person would write on the board, in order, without the words.

Every equation is a list of terms that sum to zero. Text, page and PDF all render from these records.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solver.loads import LoadShare
from solver.sketch import table
from solver.step_tables import forces_table, joint_svg

__all__ = [
    "BlockStep",
    "CheckStep",
    "CountStep",
    "Equation",
    "JointStep",
    "LoadStep",
    "Quantity",
    "ReactionStep",
    "Result",
    "SectionStep",
    "Slope",
    "Step",
    "Term",
    "ZeroForceStep",
]


@dataclass(frozen=True)
class Quantity:
    """A force that an equation speaks of."""

    kind: str
    """`member`, `reaction` or `load`."""
    joints: tuple[str, ...]
    """The two ends of a member; the one joint of a reaction or load."""
    axis: str = ""
    """`x` or `y` for the parts of a pin's reaction or of a load, `n` for a roller's push along its normal."""


@dataclass(frozen=True)
class Term:
    """One term of an equation: factor times force."""

    quantity: Quantity
    factor: float
    """Cosine or sine with its sign for a sum of forces; lever arm in length units, counter-clockwise
    positive, for a sum of moments."""
    value: float | None
    """The force in force units where it is known by now (tension positive for a member), else none."""


@dataclass(frozen=True)
class Equation:
    """A sum of terms that is zero."""

    kind: str
    """`x` (to the right), `y` (up), `moment` (counter-clockwise) or `along` (in `direction`)."""
    terms: tuple[Term, ...]
    solves_for: Quantity | None = None
    """What this equation gives by itself; none where it is a check or is solved together with its
    neighbours."""
    about: str | None = None
    """For moments: the joint they are taken about, or none where `centre` is no joint."""
    centre: tuple[float, float] | None = None
    """For moments: the point they are taken about, in length units."""
    direction: tuple[float, float] | None = None
    """For `along`: a unit vector."""


@dataclass(frozen=True)
class Result:
    """What a step finds."""

    quantity: Quantity
    value: float
    """Force units; tension positive for a member."""
    sense: str = ""
    """`T`, `C` or `0` for a member."""


@dataclass(frozen=True)
class Slope:
    """The direction of a member as a person reads it off the drawing, seen from one of its ends."""

    member: tuple[str, str]
    start: str
    """The end it is seen from."""
    run: float
    """Length units to the right; negative to the left."""
    rise: float
    """Length units up; negative down."""

    @property
    def length(self) -> float:
        """Length units."""
        return math.hypot(self.run, self.rise)

    @property
    def angle(self) -> float:
        """Degrees between the member and the horizontal, 0 to 90."""
        return math.degrees(math.atan2(abs(self.rise), abs(self.run)))


@dataclass(frozen=True)
class CountStep:
    """The count of unknowns against equations, and the verdict of the rank."""

    m: int
    r: int
    j: int
    verdict: str
    mechanisms: int
    self_stress: int

    def _repr_html_(self) -> str:
        counts = (self.m, self.r, self.j, self.mechanisms, self.self_stress)
        row = (*map(str, counts), self.verdict)
        return table(("m", "r", "j", "mechanisms", "self-stress", "verdict"), [row], caption="Count")


@dataclass(frozen=True)
class LoadStep:
    """Loads that were brought to the joints."""

    shares: tuple[LoadShare, ...]

    def _repr_html_(self) -> str:
        rows = [
            (share.joint, f"{share.fx:.4g}", f"{share.fy:.4g}", share.kind, "–".join(share.source))
            for share in self.shares
        ]
        return table(("joint", "right", "up", "kind", "of"), rows, caption="Loads brought to the joints")


@dataclass(frozen=True)
class ReactionStep:
    """Reactions from the equilibrium of the whole truss, or of a part of it."""

    equations: tuple[Equation, ...]
    results: tuple[Result, ...]
    """In the order in which they are found; empty where these equations give none by themselves."""
    part: tuple[str, ...] = ()
    """Joints of the part; empty for the whole truss."""
    hinge: str | None = None
    """The joint at which the part hangs on the rest, about which its moments are taken."""
    remaining: tuple[Quantity, ...] = ()
    """Reactions that these equations cannot give."""

    def _repr_html_(self) -> str:
        return forces_table("Reactions", self.equations, self.results)


@dataclass(frozen=True)
class ZeroForceStep:
    """A joint at which inspection shows members that carry nothing."""

    joint: str
    rule: str
    """See `ZeroForceFinding.rule`."""
    members: tuple[tuple[str, str], ...]
    """Those that carry nothing."""
    in_line: tuple[tuple[str, str], ...]
    """The other members there, in one line."""
    load: bool
    """Whether a load lies in that line too."""
    reaction: bool
    """Whether a roller's reaction lies in that line too."""

    def _repr_html_(self) -> str:
        rows = [(self.joint, self.rule, ", ".join("–".join(member) for member in self.members))]
        return table(("joint", "rule", "members"), rows, caption="Zero-force members")


@dataclass(frozen=True)
class JointStep:
    """A joint with at most two unknowns: its free-body diagram and two equations."""

    joint: str
    slopes: tuple[Slope, ...]
    """Of the members there that are neither level nor upright and carry something."""
    equations: tuple[Equation, Equation]
    results: tuple[Result, ...]

    def _repr_svg_(self) -> str:
        return joint_svg(self.joint, self.equations, self.results)

    def _repr_html_(self) -> str:
        return self._repr_svg_() + forces_table(f"Joint {self.joint}", self.equations, self.results)


@dataclass(frozen=True)
class SectionStep:
    """A cut through the truss, and one equation of the part on one side of it."""

    cut: tuple[tuple[str, str], ...]
    """Members cut, by their ends."""
    part: tuple[str, ...]
    """Joints on the side that is looked at."""
    slopes: tuple[Slope, ...]
    equation: Equation
    result: Result

    def _repr_html_(self) -> str:
        cut = ", ".join("–".join(member) for member in self.cut)
        return forces_table(f"Section through {cut}", (self.equation,), (self.result,))


@dataclass(frozen=True)
class BlockStep:
    """Joints solved together because no joint has two unknowns and no section helps."""

    joints: tuple[str, ...]
    equations: tuple[Equation, ...]
    results: tuple[Result, ...]

    def _repr_html_(self) -> str:
        return forces_table(f"Joints {', '.join(self.joints)} together", self.equations, self.results)


@dataclass(frozen=True)
class CheckStep:
    """A joint whose forces were all found elsewhere: its equations must hold."""

    joint: str
    equations: tuple[Equation, Equation]
    lacking: tuple[float, float]
    """What the two equations lack of zero, force units."""

    def _repr_svg_(self) -> str:
        return joint_svg(self.joint, self.equations, ())

    def _repr_html_(self) -> str:
        return self._repr_svg_() + forces_table(f"Check at joint {self.joint}", self.equations, ())


Step = CountStep | LoadStep | ReactionStep | ZeroForceStep | JointStep | SectionStep | BlockStep | CheckStep
