"""Trusses of known shape and the pictures a camera or a pen makes of them, for the tests of the survey."""

from __future__ import annotations

import numpy as np

from vision.survey import SurveySettings, survey

NAMES = "ABCDEFG"
AS_DRAWN = SurveySettings(straighten_degrees=0.0)
"""Nothing is made level or upright that nobody said is."""

# A Warren truss of two panels: 6 m span, 2.5 m rise, y up.
WARREN = np.array([[0.0, 0.0], [3.0, 0.0], [6.0, 0.0], [1.5, 2.5], [4.5, 2.5]])
WARREN_MEMBERS = ((0, 1), (1, 2), (0, 3), (1, 3), (1, 4), (2, 4), (3, 4))

# A Fink roof truss of 6 m span and 3 m rise.
FINK = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [6.0, 0.0], [1.5, 1.5], [4.5, 1.5], [3.0, 3.0]])
FINK_MEMBERS = ((0, 1), (1, 2), (2, 3), (0, 4), (4, 6), (6, 5), (5, 3), (4, 1), (1, 6), (6, 2), (2, 5))

# Plane (y up) to picture with y up, a camera off to one side.
CAMERA = np.array([[90.0, 12.0, 300.0], [-8.0, 85.0, -900.0], [0.012, 0.02, 1.0]])


def place(px, members=WARREN_MEMBERS, **given):
    """Survey with one pixel of error everywhere and the joints named by letters."""
    return survey(px, np.ones(len(px)), members, names=NAMES[: len(px)], **given)


def drawn(at, *, scale=83.0, turn_degrees=7.0, shift=(411.0, 987.0)):
    """Return pixels, y down, of joints drawn to scale and turned counter-clockwise."""
    turn = np.radians(turn_degrees)
    turned = at @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return turned * scale * [1, -1] + shift


def in_perspective(at):
    """Return pixels, y down, of points of the plane as the camera sees them."""
    seen = np.column_stack([at, np.ones(len(at))]) @ CAMERA.T
    return seen[:, :2] / seen[:, 2:] * [1, -1]


def rectangle(width, height, corner=(-1.0, -1.0)):
    """Return the corners of a rectangle in the plane, clockwise from top left; `corner` is the low left."""
    return np.array([[0, height], [width, height], [width, 0], [0, 0]]) + np.array(corner)
