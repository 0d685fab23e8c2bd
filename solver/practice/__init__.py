"""Exercises: versions of a truss whose numbers come out well, with exact keys."""

from solver.practice.exact import ExactSolution, solve_exactly
from solver.practice.meant import as_meant
from solver.practice.settings import PRACTICE, PracticeSettings
from solver.practice.surd import Surd, root_of
from solver.practice.versions import Version, make_versions

__all__ = [
    "PRACTICE",
    "ExactSolution",
    "PracticeSettings",
    "Surd",
    "Version",
    "as_meant",
    "make_versions",
    "root_of",
    "solve_exactly",
]
