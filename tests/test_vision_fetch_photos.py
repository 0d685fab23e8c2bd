"""Fetching photographs for training: what is kept of them. No test fetches anything."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

pytest.importorskip("OpenEXR", reason="it comes with the extra 'training'")

from vision.training.fetch_photos import LONGEST, OWN, SOURCES, keep, shrunk
from vision.training.panoramas import view_of


def test_pictures_are_shrunk_and_kept(tmp_path):
    """A large picture comes down to the size kept, under its kind; text is no picture."""
    data = tmp_path / "data"
    data.mkdir()
    cv2.imwrite(str(data / "brick.png"), np.zeros((30, 3 * LONGEST, 3), np.uint8))
    assert keep(tmp_path, OWN, tmp_path / "out") == 1
    kept = cv2.imread(str(tmp_path / "out" / "surfaces" / "scikit-image-brick.jpg"))
    assert kept.shape[:2] == (10, LONGEST)
    assert shrunk(b"no picture") is None


def test_sources_name_each_picture_once():
    """No picture is listed twice or under both kinds."""
    names = [(s.package, name) for s in (*SOURCES, OWN) for name in (*s.scenes, *s.surfaces)]
    assert len(names) == len(set(names))


def test_a_view_looks_where_it_is_told():
    """Of a sphere coloured by heading and height, the middle of a view has those of its direction."""
    x, y = np.meshgrid(np.arange(720), np.arange(360))
    sphere = np.stack([x // 3, y // 2, 0 * x], 2).astype(np.uint8)
    for heading, up in ((0, 0), (60, -28), (-120, 20), (-170, -40)):
        view = view_of(sphere, heading, up=up, width=201)
        middle = view[view.shape[0] // 2, 100].astype(float)
        assert middle[0] * 3 == pytest.approx((heading / 360 + 0.5) * 720, abs=6)
        assert middle[1] * 2 == pytest.approx((0.5 - up / 180) * 360, abs=5)


def test_an_edge_of_a_view_is_half_its_angle_away():
    """A camera of 90 degrees sees 45 degrees to the right at its right edge."""
    sphere = np.broadcast_to((np.arange(1440) // 6)[None, :, None], (720, 1440, 3)).astype(np.uint8)
    edge = view_of(sphere, 0, across=90.0, width=400)[150, -1, 0]
    assert float(edge) * 6 / 1440 * 360 - 180 == pytest.approx(45, abs=2)
