"""Photographs behind training pictures: chosen by the seed, optional, and never behind what is scored."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from vision.training import make_page, photos
from vision.training.photos import Album, photographs
from vision.training.wild import FOR_TRAINING, Mix, make_wild


@pytest.fixture
def stocked(tmp_path, monkeypatch):
    """Stand a few photographs of noise in the folder that fetched ones lie in."""
    rng = np.random.default_rng(3)
    for kind, size in (("scenes", (500, 700)), ("surfaces", (90, 120))):
        (tmp_path / kind).mkdir()
        for k in range(3):
            picture = rng.integers(0, 256, (*size, 3), dtype=np.uint8)
            cv2.imwrite(str(tmp_path / kind / f"{k}.jpg"), picture)
    monkeypatch.setattr(photos, "PHOTO_FOLDER", tmp_path)
    photographs.cache_clear()
    yield tmp_path
    photographs.cache_clear()


@pytest.fixture
def bare(tmp_path, monkeypatch):
    """Leave the folder of photographs absent."""
    monkeypatch.setattr(photos, "PHOTO_FOLDER", tmp_path / "none")
    photographs.cache_clear()
    yield
    photographs.cache_clear()


@pytest.mark.usefixtures("bare")
def test_without_photographs_there_is_no_chance():
    """An album never offers what was not fetched."""
    assert photographs("scenes") == ()
    assert not any(Album(seed).chance(1.0) for seed in range(20))


@pytest.mark.usefixtures("stocked")
def test_views_have_the_size_asked_for():
    """Scenes and tiles are cropped, turned and toned to the frame."""
    for seed in range(30):
        album = Album(seed)
        assert album.view(120, 200).shape == (120, 200, 3)
        assert album.view(200, 90, surfaces=1.0).shape == (200, 90, 3)
        assert album.faded(120, 200).std() < 60


@pytest.mark.usefixtures("stocked")
def test_plain_pictures_do_not_change_with_photographs(tmp_path, monkeypatch):
    """What is scored is the same whether photographs were fetched or not."""
    with_them = [make_wild(seed, longest=192).rgb for seed in range(20)]
    monkeypatch.setattr(photos, "PHOTO_FOLDER", tmp_path / "none")
    photographs.cache_clear()
    for seed, rgb in enumerate(with_them):
        assert np.array_equal(rgb, make_wild(seed, longest=192).rgb)


@pytest.mark.usefixtures("stocked")
def test_training_pictures_stand_before_photographs():
    """With photographs some training pictures differ from those without; a seed still gives the same one."""
    mute = Mix(FOR_TRAINING.chances, FOR_TRAINING.decoys, photographs=False)
    changed = 0
    for seed in range(24):
        with_them = make_wild(seed, longest=192, mix=FOR_TRAINING).rgb
        assert np.array_equal(with_them, make_wild(seed, longest=192, mix=FOR_TRAINING).rgb)
        without = make_wild(seed, longest=192, mix=mute).rgb
        changed += with_them.shape != without.shape or not np.array_equal(with_them, without)
    assert 3 <= changed <= 20


@pytest.mark.usefixtures("bare")
def test_decoys_have_no_joints_and_no_members():
    """A picture of nothing stays without truth however much it looks like a truss."""
    nothing = Mix((0.0, 0.0, 1.0), 1.0, photographs=True)
    pictures = [make_wild(seed, longest=256, mix=nothing) for seed in range(40)]
    assert all(len(p.joints) == len(p.lines) == len(p.members) == 0 for p in pictures)
    assert sum(len(p.arrows) > 0 for p in pictures) >= 3
    assert sum(len(p.other) > 0 for p in pictures) >= 30


@pytest.mark.usefixtures("stocked")
def test_pages_stand_before_photographs_only_when_asked(tmp_path, monkeypatch):
    """A page of the scoreboard is the same with photographs there; one for training often is not."""
    plain = [make_page(seed, family="sticks", size=256).rgb for seed in range(6)]
    asked = [make_page(seed, family="sticks", size=256, photographs=True).rgb for seed in range(6)]
    assert not all(np.array_equal(a, b) for a, b in zip(plain, asked, strict=True))
    monkeypatch.setattr(photos, "PHOTO_FOLDER", tmp_path / "none")
    photographs.cache_clear()
    for seed, rgb in enumerate(plain):
        for asking in (False, True):
            page = make_page(seed, family="sticks", size=256, photographs=asking)
            assert np.array_equal(rgb, page.rgb)
