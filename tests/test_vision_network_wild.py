"""The cheap maker of wild pictures: seeded, labelled where the ink is, varied."""

from __future__ import annotations

import numpy as np
import pytest

from vision.training.wild import make_wild


def _grey_at(grey, points):
    """Look up the nearest pixels, inside the picture."""
    x = np.clip(points[:, 0].round().astype(int), 0, grey.shape[1] - 1)
    y = np.clip(points[:, 1].round().astype(int), 0, grey.shape[0] - 1)
    return grey[y, x]


@pytest.mark.parametrize("seed", [3, 11, 42])
def test_a_seed_gives_the_same_picture(seed):
    """Two calls agree to the last pixel and label."""
    first, second = make_wild(seed, longest=256), make_wild(seed, longest=256)
    assert np.array_equal(first.rgb, second.rgb)
    assert np.array_equal(first.lines, second.lines)


def test_members_run_between_joints():
    """Every member names two joints, and its line starts and ends at them."""
    for seed in range(40):
        picture = make_wild(seed, longest=256)
        ends = {tuple(np.round(p, 1)) for line in picture.lines for p in (line[:2], line[2:])}
        for a, b in picture.members:
            assert a != b
            assert tuple(np.round(picture.joints[a], 1)) in ends
            assert tuple(np.round(picture.joints[b], 1)) in ends


def test_ink_lies_on_the_labels():
    """Along the members of drawings the picture differs from its surroundings more often than not."""
    hits = []
    for seed in range(60):
        picture = make_wild(seed, longest=512)
        if picture.upright or len(picture.lines) == 0:
            continue
        grey = picture.rgb.astype(float).mean(2)
        for x0, y0, x1, y1 in picture.lines:
            run = np.array([x1 - x0, y1 - y0])
            length = np.hypot(*run)
            if length < 40:
                continue
            side = np.array([-run[1], run[0]]) / length * 14
            at = np.array([x0, y0]) + np.linspace(0.3, 0.7, 15)[:, None] * run
            on, off = _grey_at(grey, at), (_grey_at(grey, at + side) + _grey_at(grey, at - side)) / 2
            hits.append(np.median(np.abs(on - off)) > 8)
    assert len(hits) > 100
    assert np.mean(hits) > 0.7


def test_kinds_are_mixed():
    """Drawings, models of two planes, and pictures without a structure all come up."""
    pictures = [make_wild(seed, longest=160) for seed in range(80)]
    assert sum(len(p.members) == 0 for p in pictures) >= 2
    assert sum(len(p.far_lines) > 0 for p in pictures) >= 8
    assert sum(len(p.pins) + len(p.rollers) > 0 for p in pictures) >= 8
    assert sum(len(p.arrows) > 0 for p in pictures) >= 8
