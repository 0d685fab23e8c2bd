"""A few whole overlays, compared with pictures that a person has looked at."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.sheets.overlay import draw_overlay
from solver import solve
from tests.overlay_scenes import photographed, random_truss, scene_of
from tests.trusses import through_truss

GOLDEN = Path(__file__).parent / "golden"
MEAN = 0.1
"""Grey levels by which the whole picture may differ: other builds of FreeType or OpenCV round otherwise."""
WORST_SHARE = 0.003
"""Share of pixels that may differ by a quarter of the scale: edges of letters, never a whole label."""


def unsure_scene():
    """Give a small truss where the sign of one member is not certain and another carries nothing."""
    solution = random_truss(4)
    senses = list(solution.senses)
    senses[2], senses[4] = "?", "0"
    return scene_of(solution, 640, 480, senses=senses)


SCENES = {
    "pratt-paper": lambda: (scene_of(solve(through_truss("pratt", 6, load=20.0)), 900, 675), "paper"),
    "unsure-board": lambda: (unsure_scene(), "board"),
}


@pytest.mark.parametrize("name", SCENES)
def test_overlay_looks_as_before(name: str, update_golden: bool) -> None:  # noqa: FBT001 (a fixture)
    """The overlay is that of the golden picture, to small differences in edges."""
    scene, kind = SCENES[name]()
    drawn = cv2.cvtColor(draw_overlay(scene, photographed(scene, kind)), cv2.COLOR_RGB2BGR)
    path = GOLDEN / f"overlay-{name}.png"
    if update_golden:
        GOLDEN.mkdir(exist_ok=True)
        cv2.imwrite(str(path), drawn)
    golden = cv2.imread(str(path))
    assert golden is not None, f"{path} is missing: run with --update-golden and look at it"
    assert golden.shape == drawn.shape
    difference = np.abs(golden.astype(int) - drawn)
    assert difference.mean() <= MEAN
    assert (difference.max(axis=2) > 64).mean() <= WORST_SHARE
