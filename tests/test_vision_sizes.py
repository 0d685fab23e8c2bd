"""Small drawings are read close up, large ones whole; what lies about is told from the drawing."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from drawing import draw
from scoring import score

from vision.agreement import same_drawing
from vision.channels import CHANNELS, OTHER
from vision.decode import Structure, decode
from vision.maps import Maps, look_mirrored
from vision.search import likely_places
from vision.sizes import SizeSettings, sight


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


def _on_a_large_page(part):
    """Shrink a drawn truss to a part of a ruled page; return the page, the truth, and where it lies."""
    drawn = draw("pratt")
    width, height = 3200, 2400
    factor = part * width / np.ptp(drawn.joints, axis=0).max()
    small = cv2.resize(drawn.rgb, None, fx=factor, fy=factor, interpolation=cv2.INTER_AREA)
    page = np.full((height, width, 3), small[2, 2], np.uint8)
    page[40::80] = page[40::80] * 0.9
    at = (1900, 500)
    page[at[1] : at[1] + small.shape[0], at[0] : at[0] + small.shape[1]] = small
    return page, (drawn.joints + 0.5) * factor - 0.5 + at, drawn.members


def test_a_drawing_too_small_for_the_whole_picture_is_searched_for() -> None:
    """A truss a twentieth as wide as a ruled page is found where the ink is, and read without corrections."""
    page, joints, members = _on_a_large_page(0.05)
    seen = sight(page)
    whole = [look for look in seen.tried if look.maps.origin == (0, 0) and not look.close]
    assert max(look.structure.confidence for look in whole) < SizeSettings().hidden
    assert score(joints, members, seen.structure.joints, seen.structure.members).corrections == 0


def test_what_is_found_by_searching_must_be_sure() -> None:
    """The same small truss is nothing where more sureness is asked for than it has."""
    page, _, _ = _on_a_large_page(0.05)
    assert not sight(page, settings=SizeSettings(sure_find=1.01)).structure.members


def test_squares_that_hold_ink_are_the_likely_places() -> None:
    """Two blots of other ink give two squares round them, the larger blot's first; a dot gives none."""
    values = np.zeros((CHANNELS, 192, 256), np.float32)
    values[OTHER, 20:30, 30:50] = 0.8
    values[OTHER, 150:170, 180:220] = 0.8
    values[OTHER, 100, 100] = 0.8
    boxes = likely_places(Maps(values, 0.25), (3072, 4096, 3))
    assert len(boxes) == 2
    for box, middle in zip(boxes, ((3200, 2560), (640, 400)), strict=True):
        assert box[0] < middle[0] - 300
        assert middle[0] + 300 < box[2]
        assert box[1] < middle[1] - 160
        assert middle[1] + 160 < box[3]


@pytest.mark.parametrize("turns", [0, 1])
def test_the_mirror_image_gives_the_same_drawing(turns) -> None:
    """Seen in the mirror and turned back, a lying and a standing drawing are read where they are."""
    drawn = draw("pratt")
    width = drawn.rgb.shape[1]
    rgb = np.ascontiguousarray(np.rot90(drawn.rgb, turns))
    truth = drawn.joints if not turns else np.stack([drawn.joints[:, 1], width - 1 - drawn.joints[:, 0]], 1)
    seen = decode(look_mirrored(rgb, 512))
    result = score(truth, drawn.members, seen.joints, seen.members)
    assert result.corrections == 0
    assert max(result.joint_errors) < 0.01


def test_looks_that_do_not_agree_are_followed_by_their_mirror_images() -> None:
    """Where two looks must agree to nothing at all, none do, and the mirror images are looked at as well."""
    drawn = draw("warren")
    agreed, doubted = sight(drawn.rgb), sight(drawn.rgb, settings=SizeSettings(same_joint=0.0))
    last = [look for look in agreed.tried if look.box == agreed.tried[-1].box]
    assert len({look.size for look in last}) == len(last) > 1
    assert len(doubted.tried) == len(agreed.tried) + sum(look.size in (512, 768) for look in last)


def _structure(joints, members):
    some = np.ones(len(members))
    return Structure(
        np.array(joints, float), np.ones(len(joints)), members, some, some, 0 * some, 1.0, 0, 1.0, 1.0
    )


def test_readings_are_the_same_whatever_the_order_of_their_joints() -> None:
    """Two members in another order agree; with a joint off, a member less or nothing read they do not."""
    joints = [(0, 0), (100, 0), (40, 60)]
    one = _structure(joints, ((0, 1), (0, 2)))
    assert same_drawing(one, _structure([(101, 1), (40, 60), (0, 0)], ((0, 2), (1, 2))), within=0.025)
    assert not same_drawing(one, _structure([(0, 0), (100, 0), (44, 60)], ((0, 1), (0, 2))), within=0.025)
    assert not same_drawing(one, _structure(joints, ((0, 1), (1, 2))), within=0.025)
    assert not same_drawing(one, _structure(joints, ((0, 1),)), within=0.025)
    assert not same_drawing(_structure([], ()), _structure([], ()), within=0.025)
