"""Bad input: one sentence that names the thing and the cure, the right exit code, nothing half-written."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from PIL import Image

from tests.front_door import assert_refused, panelpoint, three_bars, write_model


def blank_page(path: Path) -> None:
    """Write a clean sheet under even light."""
    Image.new("RGB", (800, 600), (243, 241, 235)).save(path, "PNG")


def picture_model(folder: Path) -> tuple[Path, Path]:
    """Write a blank picture and a confirmed model that says it was read from there."""
    photo = folder / "photo.png"
    blank_page(photo)
    from vision import load_photo  # noqa: PLC0415

    document = three_bars(
        picture={"file": "photo.png", "sha256": load_photo(photo).sha256, "width": 800, "height": 600},
        joints=[
            {"name": "A", "px": [100, 500], "at": [0, 0]},
            {"name": "B", "px": [700, 500], "at": [8, 0]},
            {"name": "C", "px": [400, 275], "at": [4, 3]},
        ],
    )
    return photo, write_model(folder, document)


def test_overlay_never_replaces_picture_or_model(tmp_path: Path) -> None:
    """Under whatever name, with `--force` or without."""
    photo, model = picture_model(tmp_path)
    before = photo.read_bytes()
    again = tmp_path / "again.png"
    os.link(photo, again)
    for name in (photo, again):
        assert_refused(panelpoint("overlay", model, "-o", name, "--force"), "the picture itself")
    assert photo.read_bytes() == before
    assert_refused(panelpoint("overlay", model, "-o", model, "--force"), ".png, .jpg, .svg, .pdf")


def test_overlay_wants_a_picture_that_fits(tmp_path: Path) -> None:
    """No picture, a lost one, one of another size: each is told, and nothing is drawn."""
    photo, model = picture_model(tmp_path)
    out = tmp_path / "out.png"
    typed = write_model(tmp_path, three_bars(), "typed.truss.json")
    assert_refused(panelpoint("overlay", typed, "-o", out), "typed.truss.json", "no picture")
    Image.new("RGB", (801, 600)).save(photo)
    assert_refused(panelpoint("overlay", model, "-o", out), "800 × 600", "801 × 600")
    photo.unlink()
    assert_refused(panelpoint("overlay", model, "-o", out), "photo.png", "not there")
    assert not out.exists()


def test_overlay_warns_of_a_changed_picture(tmp_path: Path) -> None:
    """Same size, other bytes: drawn, with a warning."""
    photo, model = picture_model(tmp_path)
    Image.new("RGB", (800, 600), (200, 210, 220)).save(photo)
    outcome = panelpoint("overlay", model, "-o", tmp_path / "out.png")
    assert outcome.code == 0
    assert "has changed since" in outcome.err


def test_overlay_of_an_unstable_truss_draws_nothing(tmp_path: Path) -> None:
    """Exit code 1, the reason, and no file."""
    _, model = picture_model(tmp_path)
    document = json.loads(model.read_text())
    document["supports"] = document["supports"][:1]
    model.write_text(json.dumps(document))
    assert_refused(panelpoint("overlay", model, "-o", tmp_path / "out.png"), "can still move", code=1)
    assert not (tmp_path / "out.png").exists()


@pytest.mark.parametrize("suffix", ["png", "jpg", "svg", "pdf"])
def test_overlay_writes_what_the_suffix_says(suffix: str, tmp_path: Path) -> None:
    """Four kinds of file, each with its own first bytes; an old one is replaced only with `--force`."""
    _, model = picture_model(tmp_path)
    out = tmp_path / f"out.{suffix}"
    assert panelpoint("overlay", model, "-o", out).code == 0
    first = {"png": b"\x89PNG", "jpg": b"\xff\xd8\xff", "svg": b"<", "pdf": b"%PDF"}[suffix]
    data = out.read_bytes()
    assert data.startswith(first)
    assert_refused(panelpoint("overlay", model, "-o", out), "--force")
    assert panelpoint("overlay", model, "-o", out, "--force").code == 0
    assert out.read_bytes() == data


def test_overlay_to_standard_output_is_a_png(tmp_path: Path) -> None:
    """A lone `-` is standard output, and nothing but the picture is on it."""
    _, model = picture_model(tmp_path)
    outcome = panelpoint("overlay", model, "-o", "-")
    assert outcome.code == 0
    assert outcome.out.startswith(b"\x89PNG")
