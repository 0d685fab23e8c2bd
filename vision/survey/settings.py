"""Every tolerance of the survey, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["SurveySettings"]


@dataclass(frozen=True)
class SurveySettings:
    """Tolerances of the survey."""

    straighten_degrees: float = 4.0
    """A member this near to level or upright becomes so. Twice as much and a shallow roof is flattened;
    0 turns straightening off."""
    chord_degrees: float = 20.0
    """A member this near to the horizontal of the picture may be part of the chord that gives level. Twice as
    much and a rafter passes for a chord."""
    chord_bend_degrees: float = 8.0
    """Members that meet at less than this bend are one straight chord. Twice as much and a shallow arch
    passes for a chord."""
    equal_run: float = 0.9
    """Of two chords, the lower gives level if it is at least this part of the longer."""
    turn_remark_degrees: float = 45.0
    """A picture turned further than this to bring it level is remarked upon: it may lie on its side."""
    smallest_px_error: float = 1e-3
    """Pixels. A joint's weight in the fit stops growing here, so that an error of 0 stays finite."""
    coincident_px: float = 1e-6
    """Pixels. Joints closer than this in the picture are one joint; no reading separates them."""
    coincident_share: float = 1e-6
    """Share of the truss's size. Joints placed closer than this are one joint to any solver."""
    unsure_sigmas: float = 2.0
    """Standard errors. Below this the drawing does not say which way a dimension runs."""
