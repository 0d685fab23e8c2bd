"""Every tolerance of the survey, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["SurveySettings"]


@dataclass(frozen=True)
class SurveySettings:
    """Tolerances of the survey."""

    straighten_degrees: float = 5.0
    """A member this near to level or upright becomes so. Free-hand lines on a blackboard were measured up to
    5 degrees off; a roof of 1 in 10 (5.7 degrees) must stay. 0 turns straightening off."""
    nearly_degrees: float = 1.5
    """A member this much further off is left as drawn and remarked upon. Twice as much and
    honest slopes are."""
    camber_degrees: float = 15.0
    """Members that bend against each other by more than this are not pieces of one bent chord. A polygon of
    five to seven pieces bends by 5 to 12 degrees at a joint; a shallow end post or hip rafter, whose
    neighbour is to be level, by 15 and more."""
    camber_share: float = 0.25
    """A near-level piece of a chord that bends stays as drawn if it slopes by this share of the bend or more:
    halfway between a piece of a regular polygon beside its crown (a half) and a level piece (none)."""
    chord_degrees: float = 20.0
    """A member this near to the horizontal of the picture may be part of the chord that gives level. Twice as
    much and a rafter passes for a chord."""
    chord_bend_degrees: float = 12.0
    """Members that meet at less than this bend are one straight chord. Twice as much and a shallow arch
    passes for a chord."""
    stretch_weight: float = 0.5
    """Weight of stretching the whole drawing, against moving one joint by the truss's size. Measured on three
    panels: with a tenth of it, panel lengths 3 % too long for their span made every height three times too
    large (1.5 times as it is); with ten times, equal panels of a sketch drawn half as high again came out 4 %
    unequal (0.9 % as it is)."""
    equal_run: float = 0.9
    """Of two chords, the lower gives level if it is at least this part of the longer."""
    flatter_degrees: float = 5.0
    """A chord that slopes this much more than another does not give level. Twice as much would take a shallow
    rafter for the bottom chord, half as much would let a wobbly line outdo a longer one."""
    flatter_run: float = 0.5
    """The flatter chord counts only if it is at least this part of the longest: a short web member is often
    level by chance."""
    turn_remark_degrees: float = 45.0
    """A picture turned further than this to bring it level is remarked upon: it may lie on its side."""
    smallest_px_error: float = 1e-3
    """Pixels. A joint's weight in the fit stops growing here, so that an error of 0 stays finite."""
    horizon: float = 1e-3
    """Nearness of a joint to the camera, as a share of that of the known points. Below this a joint is lost
    on the horizon, where a pixel is worth a thousand times what it is among the known points."""
    coincident_px: float = 1e-6
    """Pixels. Joints closer than this in the picture are one joint; no reading separates them."""
    coincident_share: float = 1e-6
    """Share of the truss's size. Joints placed closer than this are one joint to any solver."""
    dust_share: float = 1e-12
    """Share of the truss's size. A coordinate smaller than this is what rounding leaves of an exact zero, and
    comes out as zero: the arithmetic keeps 15 digits, and no dimension is written to 12."""
    unsure_sigmas: float = 2.0
    """Standard errors. Below this the drawing does not say which way a dimension runs."""
    out_of_scale_share: float = 0.03
    """Share of the truss's size. A joint moved further than this from where it is drawn is remarked upon.
    Half as much and every free-hand sketch is."""
    largest_px: float = 1e9
    """Pixels. No picture is larger; a joint further out is a slip of the pen."""
