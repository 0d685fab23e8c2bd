"""A student's answers: right, right on the student's own numbers, or wrong, and what slip is likely."""

from solver.marking.answers import Answer, Answers, Unreadable
from solver.marking.mark import mark, mark_stability
from solver.marking.records import Finding, Mark, Marking, Origin, Slip
from solver.marking.rubric import Rubric

__all__ = [
    "Answer",
    "Answers",
    "Finding",
    "Mark",
    "Marking",
    "Origin",
    "Rubric",
    "Slip",
    "Unreadable",
    "mark",
    "mark_stability",
]
