"""Every tolerance of the solver, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["TOLERANCES", "Tolerances"]


@dataclass(frozen=True)
class Tolerances:
    """Where the solver draws its lines. All are ratios unless a unit is given."""

    coincident: float = 1e-9
    """Of the truss's extent. Joints nearer than this are one joint; ten thousand times the rounding of a
    double, far below anything that can be built or picked from a photograph."""
    through: float = 1e-6
    """Of a member's length. A joint nearer to a member's line than this lies on it."""
    collinear: float = 1e-9
    """Sine of the angle between two members that count as one straight line. Doubling it changes nothing on
    paper; a thousand times larger and members picked by eye would be called zero-force that are not."""
    zero_force: float = 1e-9
    """Of the largest load or force. A force below this is zero: rounding leaves 1e-15 of it per joint
    passed."""
    rank: float = 1e-12
    """Of the largest singular value of the equilibrium matrix. Below it a motion stretches no member. The
    smallest value of a sound beam truss of n panels is about 4 / n**2 of the largest: 2e-9 for 50,000
    panels."""
    coordinate_digits: float = 1e-15
    """Relative rounding of a coordinate. A motion is no truer than the direction cosines, which rounding
    moves by this times the largest coordinate over the shortest member."""
    near_mechanism: float = 1e5
    """Condition number from which a truss is called nearly a mechanism. Classroom trusses lie between 10 and
    1,000."""
    residual: float = 1e-10
    """Of the largest load: what joint equilibrium may lack."""
    inexact_section: float = 1e-8
    """Of the largest load or force: what two routes to one force may differ by, times the condition number
    over 1e6 when that is larger."""
    dense_joints: int = 150
    """Joints up to which the rank is found from a dense singular value decomposition, in milliseconds."""
    patterns: int = 12
    """Most mechanisms and redundancies together whose patterns are given for a truss larger than that."""
    sampled_sections: int = 24
    """Members of a truss larger than that for which a section is sought as a check."""
    largest_number: float = 1e100
    """Any length or force. Squares and products of four stay finite."""
    smallest_number: float = 1e-100
    """Any length or force that is not zero. Squares do not vanish."""
    sure_sign: float = 2.0
    """Standard errors that a force must differ from zero by before it is called tension or compression."""


TOLERANCES = Tolerances()
