"""Every tolerance of the matching, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["MatchSettings"]


@dataclass(frozen=True)
class MatchSettings:
    """How two drawings are laid on each other.

    Everything is weighed in *slips*: one missing or extra member is one slip, and so is one missing or extra
    joint. What the drawing costs in slips is made least.
    """

    reach: float = 0.5
    """Of the distance to the nearest other joint (median over the drawing): a joint drawn so far from where
    an even stretch puts it costs `place` slips. Doubled, a joint is taken for its neighbour; halved,
    free-hand panels of unequal width are taken for missing joints."""
    place: float = 0.5
    """Slips for a joint that is off by `reach`; it grows with the square, up to `place_most`."""
    place_most: float = 2.0
    """Slips at most for one joint out of place: as much as leaving it out on both sides."""
    label: float = 0.6
    """Slips for a support or load that is at another joint. Below one, so that lines outweigh them; above
    what the places of a symmetric truss can tell, so that they decide which end is which."""
    mirror: float = 1.0
    """Slips for a mirror image: a symmetric truss is never called one, and one slip is the better
    explanation of the two."""
    turn: float = 1.0
    """Slips for a drawing turned upside down, in proportion for less: gravity tells where down is."""
    warp: float = 0.15
    """Slips for each doubling of the ratio of largest to least stretch. Only breaks ties."""
    most_warp: float = 8.0
    """Largest over least stretch of an even stretch: a sketch squashed more than that is not recognised."""
    flat: float = 1e-3
    """Width over length below which joints are in one line: no drawing is so thin."""
    seeds: int = 24
    """Triples of joints of the set truss that hypotheses start from; more only repeat the same ones."""
    refined: int = 32
    """Hypotheses, the best by place alone, that are worked out in full."""
    rounds: int = 6
    """Of assigning and fitting again; most settle after three."""
    homography_from: int = 6
    """Pairs from which a slanted view is tried: eight numbers from twelve or more."""
    homography_gain: float = 0.6
    """A slanted view must bring what is off, per degree of freedom, below this share."""
    most_slant: float = 2.0
    """Nearest over farthest point of the drawing from the camera; sheets are photographed flatter."""
    straight: float = 0.12
    """Distance of a joint from the line between its two neighbours, as a share of that line, below which it
    lies on a member. Free-hand strokes bow by a few hundredths."""
