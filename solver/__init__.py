"""Geometry and forces: statics of planar pin-jointed trusses. Nothing here has heard of a pixel or a file."""

from solver.errors import (
    Fault,
    NoUniqueSolutionError,
    QuestionError,
    SolverError,
    TooManyMechanismsError,
    TrussError,
    UnitError,
)
from solver.loads import LoadShare, joint_loads, load_shares
from solver.movement import Movement, SelfStress
from solver.settings import TOLERANCES, Tolerances
from solver.solution import Checks, Notice, Reaction, Solution, solve
from solver.stability import Stability, assess
from solver.truss import DeckLoad, Joint, Load, Member, MemberLoad, Support, Truss
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
    "Checks",
    "DeckLoad",
    "Fault",
    "Joint",
    "Load",
    "LoadShare",
    "Member",
    "MemberLoad",
    "Movement",
    "NoUniqueSolutionError",
    "Notice",
    "QuestionError",
    "Reaction",
    "SelfStress",
    "Solution",
    "SolverError",
    "Stability",
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
    "joint_loads",
    "load_shares",
    "parse_force",
    "parse_force_per_length",
    "parse_length",
    "solve",
    "work",
]
