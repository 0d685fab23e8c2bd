"""Pictures that panelpoint drew say so, are otherwise the same, and are left out of a pile."""

from __future__ import annotations

import io
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from cli.own_pictures import drawn_here, signed
from cli.pile.papers import sort_out
from tests.front_door import panelpoint
from tests.pile_pictures import draw_king_post, king_post_model


def test_the_sign_changes_no_pixel() -> None:
    """Pillow, which checks every chunk, finds the words and the same picture; twice signed is once signed."""
    pixels = np.random.default_rng(3).integers(0, 255, (40, 60, 3), dtype=np.uint8)
    for suffix in (".png", ".jpg"):
        plain = cv2.imencode(suffix, pixels)[1].tobytes()
        data = signed(plain)
        with Image.open(io.BytesIO(plain)) as before, Image.open(io.BytesIO(data)) as after:
            assert (np.asarray(before) == np.asarray(after)).all()
            words = after.info["Software"] if suffix == ".png" else after.info["comment"].decode()
        assert words == "panelpoint"
        assert signed(data) == data
        assert len(data) > len(plain)
    with pytest.raises(ValueError, match="PNG and JFIF"):
        signed(b"%PDF-1.7")


def test_a_pile_is_made_of_photographs_only(tmp_path: Path) -> None:
    """Pictures with forces and results of an earlier pile are none, whatever they are called."""
    pile = tmp_path / "pile"
    pile.mkdir()
    draw_king_post(pile / "ada.png")
    model = king_post_model(pile / "ada.png")
    for name in ("ada-forces.jpg", "holiday.png"):
        assert panelpoint("overlay", model, "-o", pile / name).code == 0
    earlier = panelpoint("batch", pile, "-o", pile / "earlier", "--workers", "1")
    assert "Pictures that panelpoint drew are left out: 2." in earlier.err
    found = sort_out(pile, output=tmp_path / "out")
    assert [paper.name for paper in found.papers] == ["ada.png"]
    assert {path.name for path in found.drawn} >= {"ada-forces.jpg", "holiday.png"}
    assert len(found.drawn) == 3, "the drawing kept by the earlier pile is the third"


def test_a_photograph_is_none_of_ours(tmp_path: Path) -> None:
    """Nor is a file that only begins like a picture, or an empty one."""
    draw_king_post(tmp_path / "a.png")
    (tmp_path / "b.png").write_bytes(b"")
    (tmp_path / "c.txt").write_bytes(b"tEXtSoftware\0panelpoint")
    assert not any(drawn_here(path) for path in tmp_path.iterdir())
