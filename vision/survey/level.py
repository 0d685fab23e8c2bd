"""Which two joints lie level: the ends of the longest straight chord, unless a person names them."""

from __future__ import annotations

import numpy as np

from vision.survey.constraints import Floats
from vision.survey.settings import SurveySettings

__all__ = ["find_chord"]

Pair = tuple[int, int]


def find_chord(at: Floats, members: tuple[Pair, ...], settings: SurveySettings) -> Pair | None:
    """Return the ends, left one first, of the longest straight near-level chord; of equals, the lowest.

    A chord is a run of members, each near the horizontal of the picture and each carrying straight on from
    the one before. In most trusses the longest is the bottom chord; under a cantilever with a sloping
    bottom chord it is the top one, which is level too. A chord that slopes yields to one that is clearly
    flatter and not much shorter: a camera is held straighter than a rafter lies.

    Parameters
    ----------
    at : (N, 2) float
        The joints seen square on, y up.
    members : tuple of (int, int)
        Rows of `at`.
    settings : SurveySettings
        Its `chord_degrees`, `chord_bend_degrees`, `equal_run`, `flatter_degrees` and `flatter_run` apply.

    Returns
    -------
    (int, int) or None
        None when no member is near level.
    """
    onward: dict[int, dict[int, float]] = {}
    for pair in members:
        left, right = sorted(pair, key=lambda joint: at[joint, 0])
        slope = _slope_degrees(at, left, right)
        if abs(slope) <= settings.chord_degrees:
            onward.setdefault(left, {})[right] = slope
    runs = [_run(at, onward, start, settings) for start in onward]
    if not runs:
        return None
    longest = max(_length(at, run) for run in runs)
    runs = [run for run in runs if _length(at, run) >= settings.flatter_run * longest]
    flattest = min(_steepness(at, run) for run in runs)
    runs = [run for run in runs if _steepness(at, run) <= flattest + settings.flatter_degrees]
    longest = max(_length(at, run) for run in runs)
    rivals = [run for run in runs if _length(at, run) >= settings.equal_run * longest]
    lowest = min(rivals, key=lambda run: (np.mean(at[run, 1]), at[run[0], 0]))
    return lowest[0], lowest[-1]


def _run(at: Floats, onward: dict[int, dict[int, float]], start: int, settings: SurveySettings) -> list[int]:
    """Return the longest straight run of members to the right of `start`.

    `onward` gives for a joint the joints to its right and the slopes, in degrees, of the members there.
    """
    best = [start]
    for second, first_slope in onward[start].items():
        run, slope = [start, second], first_slope
        while ahead := onward.get(run[-1]):
            joint = min(ahead, key=lambda right: abs(ahead[right] - slope))
            if abs(ahead[joint] - slope) > settings.chord_bend_degrees:
                break
            run.append(joint)
            slope = ahead[joint]
        if at[run[-1], 0] > at[best[-1], 0]:
            best = run
    return best


def _length(at: Floats, run: list[int]) -> float:
    return float(at[run[-1], 0] - at[run[0], 0])


def _steepness(at: Floats, run: list[int]) -> float:
    return abs(_slope_degrees(at, run[0], run[-1]))


def _slope_degrees(at: Floats, start: int, end: int) -> float:
    across, up = at[end] - at[start]
    return float(np.degrees(np.arctan2(up, across)))
