"""Geometry and forces: statics of planar pin-jointed trusses. Nothing here has heard of a pixel or a file."""

from solver.balance import Checks, Reaction
from solver.errors import (
    Fault,
    NoUniqueSolutionError,
    NoVersionError,
    OutOfReachError,
    QuestionError,
    SolverError,
    StockError,
    TooManyMechanismsError,
    TrussError,
    UnitError,
)
from solver.influence import (
    Axle,
    Envelope,
    InfluenceLines,
    influence_lines,
    load_envelope,
    train_envelope,
)
from solver.judge import assess
from solver.loads import LoadShare, joint_loads, load_shares
from solver.marking import (
    Answer,
    Answers,
    Marking,
    Rubric,
    mark,
    mark_stability,
)
from solver.notices import Notice
from solver.parts import DeckLoad, Joint, Load, Member, MemberLoad, Support
from solver.rounding import RoundedAngles, round_angles
from solver.section_checks import SectionCheck
from solver.settings import TOLERANCES, Tolerances
from solver.solution import Solution
from solver.solving import solve
from solver.stability import Movement, SelfStress, Stability
from solver.stiffness import Deflection, Displacements, displacements, solve_with_stiffness, unit_load
from solver.truss import Truss
from solver.uncertainty import joint_covariance
from solver.units import (
    FORCE_UNITS,
    LENGTH_UNITS,
    convert_force,
    convert_length,
    parse_force,
    parse_force_per_length,
    parse_length,
)
from solver.working import Working, work

__all__ = [
    "FORCE_UNITS",
    "LENGTH_UNITS",
    "TOLERANCES",
    "Answer",
    "Answers",
    "Axle",
    "Checks",
    "DeckLoad",
    "Deflection",
    "Displacements",
    "Envelope",
    "Fault",
    "InfluenceLines",
    "Joint",
    "Load",
    "LoadShare",
    "Marking",
    "Member",
    "MemberLoad",
    "Movement",
    "NoUniqueSolutionError",
    "NoVersionError",
    "Notice",
    "OutOfReachError",
    "QuestionError",
    "Reaction",
    "RoundedAngles",
    "Rubric",
    "SectionCheck",
    "SelfStress",
    "Solution",
    "SolverError",
    "Stability",
    "StockError",
    "Support",
    "Tolerances",
    "TooManyMechanismsError",
    "Truss",
    "TrussError",
    "UnitError",
    "Working",
    "assess",
    "convert_force",
    "convert_length",
    "displacements",
    "influence_lines",
    "joint_covariance",
    "joint_loads",
    "load_envelope",
    "load_shares",
    "mark",
    "mark_stability",
    "parse_force",
    "parse_force_per_length",
    "parse_length",
    "round_angles",
    "solve",
    "solve_with_stiffness",
    "train_envelope",
    "unit_load",
    "work",
]
