"""The survey on drawings whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest

from vision import errors
from vision.survey import Dimension, survey

# A Warren truss of two panels, 6 m span and 2.5 m rise; y up.
TRUTH = np.array([[0.0, 0.0], [3.0, 0.0], [6.0, 0.0], [1.5, 2.5], [4.5, 2.5]])
MEMBERS = ((0, 1), (1, 2), (0, 3), (1, 3), (1, 4), (2, 4), (3, 4))


def picture(at, *, scale=83.0, turn_degrees=7.0, shift=(411.0, 987.0)):
    """Return pixels of the truss drawn to scale, turned counter-clockwise."""
    turn = np.radians(turn_degrees)
    turned = at @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return turned * scale * [1, -1] + shift


@pytest.mark.parametrize(
    "dimension", [Dimension("along", 0, 4, np.hypot(4.5, 2.5)), Dimension("across", 2, 0, 6.0)]
)
@pytest.mark.parametrize("level", [None, (0, 2), (2, 1)])
def test_one_length_and_level(dimension, level):
    """One length and level recover a drawing made to scale, wherever the origin is."""
    placed = survey(picture(TRUTH), np.ones(5), MEMBERS, dimensions=[dimension], level=level)
    origin = TRUTH[1 if level == (2, 1) else 0]
    np.testing.assert_allclose(placed.at, TRUTH - origin, atol=1e-9)


def test_no_length_is_refused():
    """Without a length the sentence says how to give one."""
    with pytest.raises(errors.ScaleMissingError, match="Give one length"):
        survey(picture(TRUTH), np.ones(5), MEMBERS, dimensions=[Dimension("angle", 0, 3, 30)])
