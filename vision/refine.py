"""Joints placed to parts of a pixel on the ink, each with its standard error.

Whoever proposed the joints and members, they are placed the same way. Each member is crossed by many short
sections of the photograph; in each, the ink's centre is the mean position weighted with its contrast. A
line through the centres (least squares with Tukey's biweight against other ink) is the member's axis. A
joint lies where the axes of its members cross, in least squares weighted with the lines' own errors, and
near the proposal. Where the lines do not meet within their errors, all of them are given the same further
variance until they do (Paule and Mandel); the standard error follows from the same equations.

References
----------
Mosteller, F., Tukey, J. (1977), "Data Analysis and Regression": biweight. Paule, R. C.,
Mandel, J. (1982), "Consensus values and weighting factors".
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.settings import RefineSettings

__all__ = ["Axis", "Placed", "place_joints"]

_BIWEIGHT = 4.685
"""Tukey's constant: 95 % efficiency where the errors are normal."""
_LEAST_SECTIONS = 6
"""Sections with ink below which a line is not fitted."""
_MOST_EXTRA = 8.0
"""Times the proposal's error by which axes may miss a joint; beyond, they hardly weigh."""
_EXTRA_STEP = 1.6
"""Factor between the variances tried."""
_PROFILE_STEP = 0.5
"""Pixels between the samples of a section."""


@dataclass(frozen=True)
class Axis:
    """The line fitted to one member's ink."""

    middle: tuple[float, float]
    """A point on it, working pixels."""
    direction: tuple[float, float]
    """Unit vector along it."""
    scatter: float
    """Standard deviation of the sections' centres from the line, working pixels."""
    covered: float
    """Share of the sections, 0 to 1, in which there is ink near the line."""
    half_length: float
    """Half the length over which there was ink, working pixels."""


@dataclass(frozen=True, eq=False)
class Placed:
    """Joints after placing."""

    joints: NDArray[np.float64]
    """(N, 2) as x, y, pixels of the picture given."""
    px_error: NDArray[np.float64]
    """(N,) standard error in pixels, the same in both directions."""
    axes: tuple[Axis | None, ...]
    """(M,) the fitted line of each member; None where its ink could not be followed."""


def place_joints(
    evidence: NDArray[np.float32],
    joints: NDArray[np.float64],
    members: tuple[tuple[int, int], ...],
    *,
    prior_error: NDArray[np.float64],
    stroke_width: float,
    settings: RefineSettings,
) -> Placed:
    """Place proposed joints on the ink.

    Parameters
    ----------
    evidence
        (H, W) contrast of ink with the ground, not negative.
    joints
        (N, 2) proposed, as x, y, pixels of `evidence`.
    members
        Pairs of rows of `joints`.
    prior_error
        (N,) standard error of the proposals in pixels, the same in both directions.
    stroke_width
        Pixels.
    settings
        Band, trimming, smallest error.

    Returns
    -------
    Placed
        In the order of `joints`.
    """
    axes = tuple(_axis(evidence, joints[a], joints[b], stroke_width, settings) for a, b in members)
    placed = joints.copy()
    error = np.empty(len(joints))
    for row in range(len(joints)):
        lines = [
            axis for axis, member in zip(axes, members, strict=True) if axis is not None and row in member
        ]
        placed[row], error[row] = _crossing(joints[row], float(prior_error[row]), lines, settings)
    return Placed(joints=placed, px_error=error, axes=axes)


def _axis(
    evidence: NDArray[np.float32],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    stroke_width: float,
    settings: RefineSettings,
) -> Axis | None:
    length = float(np.hypot(*(end - start)))
    if length < 4 * stroke_width:
        return None
    along = (end - start) / length
    across = np.array([-along[1], along[0]])
    places = np.linspace(settings.trim, 1 - settings.trim, settings.sections) * length
    half = settings.band_widths * stroke_width + 1
    offsets = np.arange(-half, half + _PROFILE_STEP / 2, _PROFILE_STEP)
    points = start + places[:, None, None] * along + offsets[None, :, None] * across
    maps = points.astype(np.float32)
    profile = np.asarray(
        cv2.remap(evidence, maps[..., 0], maps[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT),
        np.float64,
    )
    # Below half of its own height a profile is paper, blur or another stroke's shoulder.
    height = profile.max(axis=1)
    usual = float(np.median(height))
    firm = np.maximum(profile - 0.5 * height[:, None], 0)
    mass = firm.sum(axis=1)
    inked = height > max(0.4 * usual, settings.least_contrast)
    if np.count_nonzero(inked) < _LEAST_SECTIONS:
        return None
    centre = (firm @ offsets)[inked] / mass[inked]
    at = places[inked]
    slope, shift, scatter, weights = _robust_line(at, centre, stroke_width)
    direction = along + slope * across
    direction /= np.hypot(*direction)
    middle = start + length / 2 * along + (shift + slope * length / 2) * across
    covered = float(np.count_nonzero(weights > 0.1) / settings.sections)
    reach = float(np.ptp(at[weights > 0.1])) / 2 if (weights > 0.1).any() else 0.0
    return Axis(
        middle=(float(middle[0]), float(middle[1])),
        direction=(float(direction[0]), float(direction[1])),
        scatter=scatter,
        covered=covered,
        half_length=max(reach, 1.0),
    )


def _robust_line(
    at: NDArray[np.float64], centre: NDArray[np.float64], stroke_width: float
) -> tuple[float, float, float, NDArray[np.float64]]:
    weights = np.ones(len(at))
    slope = shift = 0.0
    scatter = stroke_width
    for _ in range(8):
        slope, shift = np.polyfit(at, centre, 1, w=np.sqrt(weights))
        residual = centre - (slope * at + shift)
        scatter = max(1.4826 * float(np.median(np.abs(residual))), 0.1)
        weights = np.square(np.maximum(1 - np.square(residual / (_BIWEIGHT * scatter)), 1e-6))
    return float(slope), float(shift), scatter, weights


def _crossing(
    proposal: NDArray[np.float64], prior: float, lines: list[Axis], settings: RefineSettings
) -> tuple[NDArray[np.float64], float]:
    """Weigh the axes of a joint's members against its proposal.

    Strokes are drawn to the edge of a circle, beside a joint, or bowed: they miss the joint by more than
    their own scatter says. How much more is one variance for all of them, the least with which they and the
    proposal agree (Paule and Mandel).
    """
    independent = settings.sections / settings.sections_per_wobble
    normals = np.array([[-line.direction[1], line.direction[0]] for line in lines]).reshape(-1, 2)
    shifts = np.array([normal @ np.array(line.middle) for normal, line in zip(normals, lines, strict=True)])
    own = np.empty(len(lines))
    for k, line in enumerate(lines):
        lever = abs(float((proposal - np.array(line.middle)) @ np.array(line.direction))) / line.half_length
        # Error of a fitted line at a distance from its middle: constant part and tilt (uniform sections,
        # whose variance over the half length is a third).
        own[k] = (line.scatter**2 + settings.least_error**2) * (1 + 3 * lever**2) / independent
    extra = 0.0
    while True:
        weight = 1 / (own + extra)
        information = np.eye(2) / prior**2 + (normals * weight[:, None]).T @ normals
        pull = proposal / prior**2 + normals.T @ (weight * shifts)
        at = np.asarray(np.linalg.solve(information, pull), np.float64)
        misfit = float((weight * np.square(normals @ at - shifts)).sum())
        misfit += float(np.square(at - proposal).sum()) / prior**2
        if misfit <= max(len(lines), 1) or extra > (_MOST_EXTRA * prior) ** 2:
            break
        extra = max(_EXTRA_STEP * extra, settings.least_error**2 / 4)
    error = float(np.sqrt(np.trace(np.linalg.inv(information)) / 2))
    return at, max(error, settings.least_error)
