"""What the survey decided by itself, in sentences for the person."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from vision.survey.constraints import EXACT, Floats
from vision.survey.dimensions import measured, say
from vision.survey.frame import Frame
from vision.survey.given import Dimension, KnownRectangle, View
from vision.survey.settings import SurveySettings

__all__ = [
    "OutOfScale",
    "on_cambered_chords",
    "on_directions",
    "on_doubtful_slopes",
    "on_held_slopes",
    "on_level",
    "on_rounding",
    "on_scale",
    "on_the_drawing",
    "on_turning",
]

Pair = tuple[int, int]


def on_level(chord: Pair | None, names: Sequence[str], *, held: bool) -> str:
    """Say where level came from when nobody named it; `held` is whether the dimensions allowed it."""
    if chord is None:
        return (
            "No member is near level, so the edges of the picture gave level. "
            "Name two joints that lie level if the picture is tilted."
        )
    ends = f"{names[chord[0]]}-{names[chord[1]]}"
    if held:
        return f"Level was taken from the chord {ends}. Name two other joints if that is not level."
    return f"The dimensions say how the truss lies; the chord {ends} was not made level."


def on_turning(frame: Frame, settings: SurveySettings) -> Iterator[str]:
    """Say so when the picture lay on its side."""
    turned = math.degrees(math.atan2(frame.start[-5], frame.start[-6]))
    if abs(turned) > settings.turn_remark_degrees:
        way = "to the left" if turned > 0 else "to the right"
        yield f"The picture was turned by {abs(turned):.0f} degrees {way} to bring it level."


def on_scale(view: View | None, dimensions: Sequence[Dimension]) -> Iterator[str]:
    """Say which of two scales was taken."""
    if isinstance(view, KnownRectangle) and any(
        dimension.kind != "angle" and dimension.value > 0 for dimension in dimensions
    ):
        yield "The dimensions gave the scale; the rectangle only took the perspective away."


def on_directions(
    dimensions: Sequence[Dimension], frame: Frame, near: Floats, names: Sequence[str], sigmas: float
) -> Iterator[str]:
    """Say which dimensions run a way that the drawing does not show.

    Parameters
    ----------
    dimensions, frame, names
        As in the survey.
    near : (N,) float
        Standard error of each joint in units of the frame.
    sigmas : float
        Standard errors below which an extent shows nothing.
    """
    for dimension in dimensions:
        extent = np.abs(frame.upright[dimension.end] - frame.upright[dimension.start])
        unsure = extent < sigmas * math.hypot(near[dimension.start], near[dimension.end])
        runs_across = dimension.kind == "across" or (dimension.kind == "angle" and dimension.value < 90)
        runs_up = dimension.kind in ("up", "angle")
        if dimension.value > 0 and ((runs_across and unsure[0]) or (runs_up and unsure[1])):
            yield (
                f"The drawing hardly shows which way {say(dimension, names)} runs. "
                "Look at it, and move a joint if it went the wrong way."
            )


def on_rounding(
    dimensions: Iterable[Dimension], at: Floats, unit: float, names: Sequence[str]
) -> Iterator[str]:
    """Say which dimensions were moved within their rounding; `at` is (N, 2) as placed."""
    for dimension in dimensions:
        value = measured(dimension, at)
        finest = math.degrees(EXACT) if dimension.kind == "angle" else EXACT * unit
        if abs(value - dimension.value) > finest:
            yield f"{say(dimension, names)} agrees with the rest only as rounded; it holds as {value:.6g}."


def on_doubtful_slopes(nearly: Iterable[Pair], names: Sequence[str]) -> Iterator[str]:
    """Say which members were only just not straightened."""
    for start, end in nearly:
        yield (
            f"Member {names[start]}-{names[end]} is nearly level or upright and was left as drawn. "
            "If it should be straight, give its up or across as 0."
        )


def on_held_slopes(held: Iterable[Pair], names: Sequence[str]) -> Iterator[str]:
    """Say which members stayed sloping because of the dimensions."""
    for start, end in held:
        yield (
            f"Member {names[start]}-{names[end]} is near level or upright, "
            "but the dimensions hold it at its slope."
        )


def on_cambered_chords(cambered: Iterable[Pair], names: Sequence[str]) -> Iterator[str]:
    """Say which members stayed near level or upright because their chord bends."""
    for start, end in cambered:
        yield (
            f"Member {names[start]}-{names[end]} slopes a little and was left as drawn, "
            "because it bends against the next member of its chord. "
            "If it should be straight, give its up or across as 0."
        )


@dataclass(frozen=True, eq=False)
class OutOfScale:
    """How far the drawing is out of scale with a placement."""

    pen: Floats
    """(6,) the map that draws the plane."""
    misfit: Floats
    """(N,) how far each joint is drawn from its place, in shares of the truss's size."""

    @property
    def stretch(self) -> float:
        """How many times as large heights are drawn as widths."""
        return float(np.hypot(*self.pen[[1, 4]]) / np.hypot(*self.pen[[0, 3]]))


def on_the_drawing(
    dimensioned: OutOfScale,
    placed: OutOfScale,
    straightened: Sequence[Pair],
    *,
    names: Sequence[str],
    settings: SurveySettings,
) -> Iterator[str]:
    """Say how far the drawing is out of scale, and whether the dimensions or straightening made it so.

    Parameters
    ----------
    dimensioned, placed
        After the dimensions were followed, and after members were straightened too.
    straightened
        Those members.
    names, settings
        As in the survey; `out_of_scale_share` applies.
    """
    stretch = placed.stretch
    if abs(stretch - 1.0) > settings.out_of_scale_share:
        said = abs(dimensioned.stretch - 1.0) >= abs(stretch - 1.0) / 2.0
        yield (
            f"The drawing is not to scale: heights are drawn {stretch:.2f} times as large as widths. "
            + (_BY_DIMENSIONS if said else _by_straightening(straightened, names))
        )
    worst = int(np.argmax(placed.misfit))
    if placed.misfit[worst] > settings.out_of_scale_share:
        said = dimensioned.misfit[worst] >= placed.misfit[worst] / 2.0
        here = [pair for pair in straightened if worst in pair] or straightened
        yield (
            f"Joint {names[worst]} is drawn {100 * placed.misfit[worst]:.0f} % of the truss's size off its "
            "place. " + (_BY_DIMENSIONS if said else _by_straightening(here, names))
        )


_BY_DIMENSIONS = "The dimensions were followed."
# More names than this make the sentence a list that nobody reads.
_MOST_NAMED = 4


def _by_straightening(straightened: Sequence[Pair], names: Sequence[str]) -> str:
    """Say which members were straightened, and how to stop it."""
    if len(straightened) > _MOST_NAMED:
        which = f"{len(straightened)} members near level or upright"
    else:
        which = ", ".join(f"{names[start]}-{names[end]}" for start, end in straightened)
    were = "was" if len(straightened) == 1 else "were"
    return f"No dimension moved it: {which} {were} made straight. To keep a slope, give its up and across."
