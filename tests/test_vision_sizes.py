"""Small drawings are read close up, large ones whole; what lies about is told from the drawing."""

from __future__ import annotations

import cv2
import numpy as np
from drawing import draw
from scoring import score

from vision.sizes import sight


def test_a_small_drawing_is_looked_at_again_close_up() -> None:
    """A truss a fifth as wide as the page is read with nothing to correct, in pixels of the page."""
    drawn = draw("pratt")
    small = cv2.resize(drawn.rgb, None, fx=0.4, fy=0.4, interpolation=cv2.INTER_AREA)
    page = np.full((1500, 2000, 3), small[2, 2], np.uint8)
    page[900 : 900 + small.shape[0], 1300 : 1300 + small.shape[1]] = small
    seen = sight(page)
    truth = (drawn.joints + 0.5) * 0.4 - 0.5 + (1300, 900)
    result = score(truth, drawn.members, seen.structure.joints, seen.structure.members)
    assert any(look.close for look in seen.tried)
    assert result.corrections == 0


def test_a_drawing_that_fills_the_picture_is_read_whole() -> None:
    """Nothing is cut off a drawing whose joints reach the edges of the picture."""
    drawn = draw("warren")
    low, high = drawn.joints.min(0).astype(int) - 24, drawn.joints.max(0).astype(int) + 24
    page = np.ascontiguousarray(drawn.rgb[low[1] : high[1], low[0] : high[0]])
    seen = sight(page)
    result = score(drawn.joints - low, drawn.members, seen.structure.joints, seen.structure.members)
    assert not any(look.close for look in seen.tried)
    assert result.corrections == 0


def test_an_empty_page_is_looked_at_only_whole() -> None:
    """Where nothing is seen there is nothing to go closer to."""
    seen = sight(np.full((600, 800, 3), 230, np.uint8))
    assert not seen.structure.members
    assert not any(look.close for look in seen.tried)
