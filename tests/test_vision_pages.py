"""The page maker: the same seed the same page, and truth that lies on the ink."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import map_coordinates

from vision.training import FAMILIES, make_page
from vision.training.camera import aim_camera
from vision.training.clutter import WORDS
from vision.training.letters import letter_strokes
from vision.training.scene import _NOTES, _TITLES
from vision.training.shapes import SHAPES, make_shape


def test_same_seed_same_page() -> None:
    """A page is told by its seed, family and size."""
    first, again, other = (make_page(seed, size=320, fonts=False) for seed in (7, 7, 8))
    assert np.array_equal(first.rgb, again.rgb)
    assert np.array_equal(first.joints, again.joints)
    assert first.rgb.shape != other.rgb.shape or not np.array_equal(first.rgb, other.rgb)


def test_unknown_family_is_refused() -> None:
    """A family that does not exist is a mistake of the caller."""
    with pytest.raises(KeyError):
        make_page(1, family="fresco")


@pytest.mark.parametrize("family", FAMILIES)
def test_page_is_whole(family: str) -> None:
    """Arrays of a page fit one another, and rows point at joints that exist."""
    page = make_page(3, family=family, size=400, fonts=False)
    height, width = page.rgb.shape[:2]
    assert max(height, width) == 400
    assert page.rgb.dtype == np.uint8
    assert page.other_ink.shape == page.text_ink.shape == (height, width)
    assert len(page.members) == len(page.half_width) == len(page.centre_lines)
    assert len(page.mark_radius) == len(page.joints)
    assert list(page.members) == sorted({(min(m), max(m)) for m in page.members})
    rows = (
        {i for m in page.members for i in m}
        | {s.joint for s in page.supports}
        | {a.joint for a in page.loads}
    )
    assert rows <= set(range(len(page.joints)))
    for (a, b), line in zip(page.members, page.centre_lines, strict=True):
        assert np.allclose(line[[0, -1]], page.joints[[a, b]])


@pytest.mark.parametrize("name", SHAPES)
def test_shapes_are_plane_graphs(name: str) -> None:
    """Every joint is used, no two coincide, and no bar passes through a third joint."""
    for seed in range(6):
        shape = make_shape(np.random.default_rng(seed), name)
        joints = shape.joints
        assert {i for m in shape.members for i in m} == set(range(len(joints)))
        assert np.ptp(joints, axis=0).max() == pytest.approx(1)
        for a, b in shape.members:
            along = joints[b] - joints[a]
            length = np.hypot(*along)
            assert length > 0.02
            for k in set(range(len(joints))) - {a, b}:
                t = np.clip((joints[k] - joints[a]) @ along / length**2, 0, 1)
                assert np.hypot(*(joints[k] - joints[a] - t * along)) > 0.012, (seed, a, b, k)


def test_aimed_camera_fills_the_frame() -> None:
    """What is aimed at comes to lie inside the picture and takes the wanted part of it."""
    corners = np.array([[0, 0], [1, 0], [1, 0.4], [0, 0.4]])
    camera = aim_camera(
        corners, width=640, height=480, fill=0.8, place=(0.5, 0.5), turns=(-0.4, 0.2, 0.05), focal=1.2
    )
    seen = camera.to_pixels(corners)
    assert np.ptp(seen, axis=0).max() / 640 == pytest.approx(0.8, rel=1e-3)
    assert (seen > 0).all()
    assert (seen < [639, 479]).all()


def test_truth_lies_on_the_ink() -> None:
    """Along the middle of a printed member the page is dark, a few widths beside it light.

    Only the middle half of a member is looked at, so that joint marks do not matter; the median member
    decides, because a letter may stand on one.
    """
    for seed in range(4):
        page = make_page(seed, family="printed", size=1000, fonts=False)
        grey = page.rgb.mean(axis=2)
        contrasts = []
        for line, half in zip(page.centre_lines, page.half_width, strict=True):
            way = line[-1] - line[0]
            across = np.array([way[1], -way[0]]) / np.hypot(*way)
            inner = line[len(line) // 4 : -len(line) // 4]
            beside = inner + across * (4 * half + 6)
            values = [grey[tuple(np.round(p[:, ::-1]).astype(int).T)] for p in (inner, beside)]
            contrasts.append(float(np.median(values[1]) - np.median(values[0])))
        assert np.median(contrasts) > 25, seed


def test_pages_without_a_truss_have_empty_truth() -> None:
    """Text, tables, doodles and rooms carry no joint, no member, no support and no load."""
    for seed in range(8):
        page = make_page(seed, family="none", size=300, fonts=False)
        assert page.joints.shape == (0, 2)
        assert page.members == page.centre_lines == page.supports == page.loads == ()
        assert len(page.half_width) == len(page.mark_radius) == 0


def test_second_drawings_are_told() -> None:
    """A small truss beside the main one, and the far truss of a model, come with their joints."""
    kinds = set()
    for seed in range(12):
        for family in ("clutter", "rods"):
            for other in make_page(seed, family=family, size=240, fonts=False).others:
                kinds.add(other.kind)
                assert {i for m in other.members for i in m} <= set(range(len(other.joints)))
    assert kinds == {"beside", "behind"}


def test_notes_over_a_model_point_at_its_joints() -> None:
    """Load arrows written over the picture of a model end near their joints; supports lie next to theirs."""
    arrows = supports = 0
    for seed in range(14):
        page = make_page(seed, family="lattice", size=400, fonts=False)
        span = np.ptp(page.joints, axis=0).max()
        for load in page.loads:
            ends = np.array([load.tail, load.head]) - page.joints[load.joint]
            assert np.hypot(*ends.T).min() < 0.15 * span
            arrows += 1
        for support in page.supports:
            left, top, right, bottom = support.box
            x, y = page.joints[support.joint]
            assert left - 0.15 * span < x < right + 0.15 * span
            assert top - 0.15 * span < y < bottom + 0.15 * span
            supports += 1
    assert arrows > 2
    assert supports > 2


def test_labels_are_exact_to_a_part_of_a_pixel() -> None:
    """The middle of the ink, measured across printed members by their darkness, is where the truth says.

    Two numbers: no shift to one side (median below 0.05 pixels in x and in y), and a median distance below a
    quarter of a pixel.
    """
    found = []
    for seed in range(50, 56):
        page = make_page(seed, family="printed", size=800, fonts=False)
        grey = page.rgb.mean(axis=2)
        for line, half in zip(page.centre_lines, page.half_width, strict=True):
            way = line[-1] - line[0]
            across = np.array([-way[1], way[0]]) / np.hypot(*way)
            steps = np.arange(-2.5 * half - 3, 2.5 * half + 3.01, 0.25)
            for middle in line[len(line) // 3 : -len(line) // 3]:
                x, y = (middle + steps[:, None] * across).T
                profile = map_coordinates(grey, [y, x], order=1, mode="nearest")
                ink = np.abs(profile - np.median(profile[[0, 1, 2, -3, -2, -1]]))
                ink[ink < 0.3 * ink.max()] = 0
                if ink.max() > 25:
                    found.append((ink @ steps) / ink.sum() * across)
    offsets = np.array(found)
    assert len(offsets) > 200
    assert np.abs(np.median(offsets, axis=0)).max() < 0.05
    assert np.median(np.hypot(*offsets.T)) < 0.25


def test_own_letters_know_what_pages_say() -> None:
    """Every letter of the titles, notes and words has strokes, so no font is needed."""
    text = (
        "".join((*_TITLES, *_NOTES, *WORDS, "0123456789 kN m mm ft lb kip °"))
        .replace(" ", "")
        .replace("_", "")
    )
    assert [letter for letter in sorted(set(text)) if not letter_strokes(letter)[0]] == []
