"""Labels of overlays cover nothing: measured by shapely, which knows nothing of how they were placed."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cli.sheets.labels import Places, place_labels
from cli.sheets.layout import lay_out
from cli.sheets.marks import text_box
from cli.sheets.overlaps import overlap_depths
from solver import solve
from tests.overlay_scenes import random_truss, scene_of
from tests.samples import seeds
from tests.trusses import through_truss

SIZES = [(600, 450), (1200, 900), (2000, 1500), (4000, 2250)]
TRUSSES = seeds(200)
PARTS = 8


def covered(layout) -> float:
    """Measure the area, in square pixels, that labels cover of other labels and of what is drawn."""
    labels = shapely.polygons(np.array([text_box(label) for label in layout.labels]))
    drawn = shapely.polygons(layout.obstacles)
    area = 0.0
    ones, others = shapely.STRtree(drawn).query(labels)
    area += shapely.area(shapely.intersection(labels[ones], drawn[others])).sum()
    ones, others = shapely.STRtree(labels).query(labels)
    apart = ones < others
    return area + shapely.area(shapely.intersection(labels[ones[apart]], labels[others[apart]])).sum()


@pytest.mark.parametrize("part", range(PARTS))
def test_labels_of_random_trusses_cover_nothing(part: int) -> None:
    """On random trusses of 3 to 30 joints, in pictures of four sizes, the covered area is zero.

    200 trusses with `--thorough`, every ninth otherwise.
    """
    for seed in TRUSSES[part::PARTS]:
        scene = scene_of(random_truss(seed), *SIZES[seed % len(SIZES)])
        layout = lay_out(scene)
        assert covered(layout) == 0, f"seed {seed}"
        assert layout.overlap == 0, f"seed {seed}"
        size = layout.drawing
        for label in layout.labels:
            left, top = text_box(label).min(axis=0)
            right, bottom = text_box(label).max(axis=0)
            assert left >= 0, f"seed {seed}: {label.words}"
            assert right <= size.width, f"seed {seed}: {label.words}"
            assert 0 <= top < bottom <= size.height, f"seed {seed}: {label.words}"


def test_labels_are_all_there() -> None:
    """Every member, joint, load and reaction has its label, once."""
    scene = scene_of(random_truss(40), 1200, 900)
    wanted = [member.label for member in scene.members] + [joint.name for joint in scene.joints]
    wanted += [arrow.label for arrow in (*scene.loads, *scene.reactions)]
    assert sorted(label.words for label in lay_out(scene).labels) == sorted(wanted)


@pytest.mark.parametrize("kind", ["pratt", "howe", "warren"])
def test_labels_stand_nearer_to_their_own_member(kind: str) -> None:
    """On wide trusses each force stands at its own member: shapely finds every other one clearly farther."""
    scene = scene_of(solve(through_truss(kind, 4, load=20.0)), 1200, 900)
    layout = lay_out(scene)
    at = np.array([(joint.x, joint.y) for joint in scene.joints]) + 0.5
    bars = shapely.linestrings([at[[member.start, member.end]] for member in scene.members])
    assert layout.drawing.width == scene.width  # no paper was added, so pixels are those of the scene
    for row, (member, label) in enumerate(zip(scene.members, layout.labels, strict=False)):
        assert label.words == member.label
        away = shapely.distance(shapely.Point(text_box(label).mean(axis=0)), bars)
        others = np.delete(away, row)
        assert away[row] < 0.8 * others.min(), f"{member.label}: {away[row]:.0f} px, {others.min():.0f} px"


def test_the_measure_can_fail() -> None:
    """Labels put on top of each other and of a member are measured as covering."""
    layout = lay_out(scene_of(random_truss(3), 1200, 900))
    first = layout.labels[0]
    spoilt = type(layout)(
        drawing=layout.drawing,
        labels=(*layout.labels, first),
        obstacles=np.concatenate([layout.obstacles, text_box(first)[None]]),
        overlap=0.0,
        sizes=layout.sizes,
    )
    box = text_box(first)
    area = np.linalg.norm(box[1] - box[0]) * np.linalg.norm(box[2] - box[1])
    assert covered(spoilt) == pytest.approx(3 * area)


def test_depth_agrees_with_shapely_on_apart_or_not() -> None:
    """Two quadrilaterals have a depth exactly when shapely finds a common area."""
    random = np.random.default_rng(11)
    turn = random.uniform(0, np.pi, (2, 4000))
    half = random.uniform(0.2, 2.0, (2, 4000, 2))
    middle = random.uniform(-2, 2, (2, 4000, 2))
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    quads = corners * half[:, :, None]
    cosine, sine = np.cos(turn)[..., None], np.sin(turn)[..., None]
    x, y = quads[..., 0], quads[..., 1]
    quads = np.stack([cosine * x - sine * y, sine * x + cosine * y], axis=-1) + middle[:, :, None]
    depth = overlap_depths(quads[0], quads[1])
    area = shapely.area(shapely.intersection(shapely.polygons(quads[0]), shapely.polygons(quads[1])))
    assert 500 < (depth > 1e-9).sum() < 3500
    assert ((depth > 1e-9) == (area > 1e-12)).all()


def test_a_label_gives_way() -> None:
    """Two labels that like the same place: one takes its second choice, and nothing overlaps."""

    def places(second: float) -> Places:
        middle = np.array([[0.0, 0.0], [second, 0.0]])
        return Places(2.0, 1.0, middle, np.zeros(2), np.array([0.0, 1.0]), np.full((2, 2), np.nan))

    placing = place_labels([places(1.0), places(5.0)], np.empty((0, 4, 2)), 1.0)
    assert [label.place for label in placing.labels] == [0, 1]
    assert placing.depth == 0


def test_overlap_that_cannot_be_avoided_is_reported() -> None:
    """Where a label has one place only and a member lies there, the depth says so."""
    only = Places(2.0, 1.0, np.zeros((1, 2)), np.zeros(1), np.zeros(1), np.full((1, 2), np.nan))
    bar = np.array([[[-3.0, 0.3], [3.0, 0.3], [3.0, 2.0], [-3.0, 2.0]]])
    assert place_labels([only], bar, 1.0).depth == pytest.approx(0.2)
