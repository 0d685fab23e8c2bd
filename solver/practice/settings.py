"""What a version of a worksheet may look like, each limit with its unit and reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["PRACTICE", "PracticeSettings"]


@dataclass(frozen=True)
class PracticeSettings:
    """Limits of shapes, loads and forces. Ratios unless a unit is given."""

    level: float = 0.005
    """Of the larger extent. Joints whose heights (or places across) differ by less are on one level, and a
    joint off a chord by less is on it: half of what a hand-drawn line wavers; a real camber is larger."""
    parallel: float = 0.2
    """Degrees. Members that differ by less are parallel; drawn ones are made so by the survey."""
    template_error: float = 0.02
    """Of the extent on an axis: what a whole-number pattern of levels may differ from the truss by."""
    round_off: float = 0.002
    """What a length read off a drawing is rounded by at most: the drawing itself is not truer."""
    finest_template: int = 240
    """Steps along an axis at most: beyond it no dimension comes out with two figures."""
    smallest: float = 0.6
    """A dimension against the original's: below it the figure looks like another truss."""
    largest: float = 1.6
    """As above, upwards."""
    steps_in_gap: int = 5
    """A dimension has at least so many steps of 1, 2 or 5 times a power of ten: then there are about five
    others near it."""
    least_load: float = 0.5
    """A load against the original's."""
    most_load: float = 2.0
    """As above, upwards."""
    flattest: float = 15.0
    """Degrees. Sloping members lie no flatter and stand no steeper than this from the upright, unless the
    original's do: flat members carry large forces, and their angles are hard to read off a figure."""
    least_force: float = 0.02
    """Of the largest load: a member that carries something carries at least this, or it would print as
    0.0-something beside forces of two figures."""
    most_force: float = 8.0
    """Of all loads together: a beam truss 30 times as long as high carries about 4."""
    worse_than_original: float = 1.25
    """Where the original itself is beyond one of the two limits above, a version may be so much worse."""
    condition: float = 1e4
    """Largest condition number of the equations: classroom trusses lie between 10 and 1,000."""
    different: float = 0.05
    """Of the largest force: what some force must differ by between two versions, or a neighbour's answers
    would do."""
    shapes_looked_at: int = 400
    """Shapes drawn and rated by their slopes alone."""
    shapes_tried: int = 10
    """Of these, so many of the best are solved."""
    loads_tried: int = 120
    """Sets of loads for each shape that is solved."""


PRACTICE = PracticeSettings()
"""The limits that versions are made with."""
