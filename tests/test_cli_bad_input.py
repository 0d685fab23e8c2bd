"""Bad input: one sentence that names the thing and the cure, the right exit code, nothing half-written."""

from __future__ import annotations

import json
import os
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.front_door import Outcome, assert_refused, panelpoint, three_bars, write_model
from tests.huge_picture import huge_png

pytestmark = pytest.mark.usefixtures("kept_maps")


def text_named_jpg(path: Path) -> None:
    """Write a letter with the name of a picture."""
    path.write_text("This is no picture at all.\n" * 50)


def truncated_jpeg(path: Path) -> None:
    """Write the first half of a picture."""
    noise = np.random.default_rng(0).integers(0, 255, (400, 600, 3), dtype=np.uint8)
    Image.fromarray(noise).save(path, "JPEG")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def one_pixel(path: Path) -> None:
    """Write a 1 x 1 picture."""
    Image.new("RGB", (1, 1), "white").save(path, "PNG")


def empty_file(path: Path) -> None:
    """Write nothing."""
    path.write_bytes(b"")


def huge_header(path: Path) -> None:
    """Write a PNG that claims 30,000 x 30,000 pixels and holds next to none."""
    path.write_bytes(huge_png())


def blank_page(path: Path) -> None:
    """Write a clean sheet under even light."""
    Image.new("RGB", (800, 600), (243, 241, 235)).save(path, "PNG")


def page_of_text(path: Path) -> None:
    """Write a printed page without a drawing."""
    page = Image.new("RGB", (900, 700), "white")
    pen = ImageDraw.Draw(page)
    for line in range(24):
        pen.text((60, 40 + 26 * line), "the quick brown fox jumps over the lazy dog " * 2, fill="black")
    page.save(path, "PNG")


WRONG = {
    text_named_jpg: ("photo.jpg", "not a picture"),
    truncated_jpeg: ("photo.jpg",),
    one_pixel: ("photo.jpg", "1"),
    empty_file: ("photo.jpg",),
    huge_header: ("photo.jpg", "30000", "200 million"),
}
NO_TRUSS = (blank_page, page_of_text)


def assert_nothing_was_written(folder: Path, before: set[str]) -> None:
    """Check that a folder holds what it held."""
    assert {entry.name for entry in folder.iterdir()} == before


def attempts(folder: Path, photo: Path) -> list[Outcome]:
    """Read a picture by both commands that read pictures."""
    return [
        panelpoint("read", photo, "-o", folder / "out.truss.json", "--names"),
        panelpoint("run", photo, "--pin", "A", "-o", folder / "results", "--trust"),
    ]


@pytest.mark.parametrize("make", WRONG, ids=lambda make: make.__name__)
def test_what_is_no_picture_is_refused(make: object, tmp_path: Path) -> None:
    """Exit code 2, the file and the cure in the sentence, no file or folder left behind."""
    photo = tmp_path / "photo.jpg"
    assert callable(make)
    make(photo)
    for outcome in attempts(tmp_path, photo):
        assert_refused(outcome, *WRONG[make])
        assert outcome.err.count("\n") == 1
        assert_nothing_was_written(tmp_path, {"photo.jpg"})


@pytest.mark.parametrize("make", NO_TRUSS, ids=lambda make: make.__name__)
def test_a_picture_without_a_truss_is_an_honest_no(make: object, tmp_path: Path) -> None:
    """Exit code 1, and it says what was seen."""
    photo = tmp_path / "photo.png"
    assert callable(make)
    make(photo)
    for outcome in attempts(tmp_path, photo):
        assert_refused(outcome, "photo.png", code=1)
        assert "truss" in outcome.err.lower()
        assert len(outcome.err.split()) > 8, "it should say what it did see"
        assert_nothing_was_written(tmp_path, {"photo.png"})


def test_a_missing_photograph_is_named(tmp_path: Path) -> None:
    """The first thing anyone gets wrong."""
    for outcome in attempts(tmp_path, tmp_path / "lost.jpg"):
        assert_refused(outcome, "lost.jpg")
        assert_nothing_was_written(tmp_path, set())


def test_an_output_that_cannot_be_written_is_told_before_the_work(tmp_path: Path) -> None:
    """A folder that is not there, or is a file: told before the picture is even opened."""
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    nowhere = tmp_path / "nowhere" / "out.json"
    lost = tmp_path / "lost.jpg"
    assert_refused(panelpoint("read", lost, "-o", nowhere), "nowhere", "cannot be written", "-o")
    assert_refused(panelpoint("read", lost, "-o", blocked / "out.json"), "cannot be written")
    assert_refused(panelpoint("run", lost, "-o", blocked), "it is a file")
    assert_refused(panelpoint("confirm", lost, "-o", nowhere), "nowhere", "cannot be written", "-o")
    assert_refused(panelpoint("run", lost, "-o", blocked / "below"), "cannot be written")
    assert_nothing_was_written(tmp_path, {"file"})


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write into a read-only folder")
def test_a_read_only_folder_is_told(tmp_path: Path) -> None:
    """Permission denied, in words."""
    tmp_path.chmod(0o500)
    outcome = panelpoint("read", "lost.jpg", "-o", tmp_path / "out.json")
    tmp_path.chmod(0o700)
    assert_refused(outcome, "cannot be written", "permission denied")


def test_an_output_that_exists_wants_force(tmp_path: Path) -> None:
    """Nothing is replaced by accident, and the picture is not replaced at all."""
    photo, old = tmp_path / "photo.png", tmp_path / "old.json"
    blank_page(photo)
    before = photo.read_bytes()
    old.write_text("precious")
    assert_refused(panelpoint("read", photo, "-o", old), "old.json", "--force")
    assert_refused(panelpoint("read", photo, "-o", photo, "--force"), "the picture itself", "never replaced")
    assert old.read_text() == "precious"
    assert photo.read_bytes() == before


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


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--load", "D 0 -40"], ["--load", "unit"]),
        (["--load", "B -3 kN"], ["--load", "one number is missing", "right and up"]),
        (["--load", "B -3kN"], ["one number is missing"]),
        (["--load", "B 1 2 mm"], ["not a unit of force known here; use one of N, kN, lbf, kip, kgf."]),
        (["--length", "A C 3 yards"], ["not a unit of length known here; use one of mm, cm, m, in, ft."]),
        (["--length", "A C 3kN"], ["not a unit of length"]),
        (["--length", "A C"], ["--length", "600 mm"]),
        (["--roller", "C 0 0"], ["--roller", "nowhere"]),
        (["--pin", ""], ["--pin"]),
    ],
)
def test_slips_in_answers_are_told_before_the_picture_is_read(
    arguments: list[str], words: list[str], tmp_path: Path
) -> None:
    """The picture is not even looked for."""
    outcome = panelpoint("run", tmp_path / "lost.jpg", *arguments, "-o", tmp_path / "results")
    assert_refused(outcome, *words)
    assert "lost.jpg" not in outcome.err
