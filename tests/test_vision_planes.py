"""Colour by planes gives what plain broadcasting gives, to the last bit."""

from __future__ import annotations

import numpy as np
import pytest

from vision.training.planes import laid_over, scaled, thrice, tinted


@pytest.fixture
def scene():
    """Give a picture (7, 5, 3), a plane (7, 5) of 0 to 1, and a colour (3,), all float32."""
    rng = np.random.default_rng(3)
    return (
        rng.uniform(0, 255, (7, 5, 3)).astype(np.float32),
        rng.uniform(0, 1, (7, 5)).astype(np.float32),
        rng.uniform(0, 255, 3).astype(np.float32),
    )


def test_planes_agree_with_broadcasting(scene):
    """Each function equals its one line of NumPy exactly."""
    picture, plane, colour = scene
    assert np.array_equal(thrice(plane), np.repeat(plane[..., None], 3, 2))
    assert np.array_equal(tinted(colour, plane), colour + plane[..., None])
    assert np.array_equal(scaled(picture, colour), picture * colour)
    assert np.array_equal(laid_over(picture, plane, colour), picture + (colour - picture) * plane[..., None])


def test_a_part_of_a_picture_will_do(scene):
    """A view that is not in one piece gives the same as a copy of it."""
    picture, plane, colour = scene
    part, mask = picture[1:6:2, ::2], plane[1:6:2, ::2]
    assert np.array_equal(laid_over(part, mask, colour), laid_over(part.copy(), mask.copy(), colour))
    assert np.array_equal(thrice(mask), thrice(mask.copy()))
