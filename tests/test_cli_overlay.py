"""The overlay: forces on the photograph, in pixels and in vector files."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
import zlib
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from cli.sheets.layout import lay_out
from cli.sheets.marks import Drawing, Photograph, Stroke, Text, plated, quad
from cli.sheets.overlay import KINDS, draw_overlay, names_picture, write_overlay
from cli.sheets.palette import INK, SENSES, luminance, rgb
from cli.sheets.raster import paint
from solver import solve
from tests.overlay_scenes import CAUTION, ground, photographed, scene_of
from tests.trusses import through_truss


@pytest.fixture(scope="module")
def pratt():
    """Give the scene of a Pratt truss of six panels in a picture of 900 by 675."""
    return scene_of(solve(through_truss("pratt", 6, load=20.0)), 900, 675)


def written(scene, picture, kind: str) -> bytes:
    file = io.BytesIO()
    write_overlay(scene, picture, file, kind)
    return file.getvalue()


@pytest.mark.parametrize("kind", ["black", "white", "noise"])
@pytest.mark.parametrize("colour", [style.text_colour for style in SENSES.values()] + [INK])
def test_text_stands_out_from_any_photograph(kind: str, colour: str) -> None:
    """Inside a label's plate, letters and ground have a contrast of 4.5 or more (design; WCAG 2.2, 1.4.3)."""
    text = Text("237 (C)", 150, 60, 40, colour, "semibold", angle=0.3)
    picture = Photograph(ground(kind, 300, 120), 0, 0)
    plate, letters = plated(text, 0.07)
    behind = paint(Drawing(300, 120, (plate,), picture))
    with_text = paint(Drawing(300, 120, (plate, letters), picture))
    core = (with_text == rgb(colour)).all(axis=2)
    assert core.sum() > 200
    near = np.argwhere(core)
    dark = luminance(tuple(with_text[core][0]))
    # Ground within a tenth of an em of the letters: the plate reaches that far everywhere.
    reach = 3
    around = np.zeros_like(core)
    for row, column in near:
        around[row - reach : row + reach + 1, column - reach : column + reach + 1] = True
    lights = [luminance(tuple(pixel)) for pixel in np.unique(behind[around].reshape(-1, 3), axis=0)]
    assert (min(lights) + 0.05) / (dark + 0.05) >= 4.5


def test_the_photograph_is_kept(pratt) -> None:
    """The caller's picture is not written to, and stays as it was where nothing is drawn."""
    picture = photographed(pratt, "paper")
    before = picture.copy()
    overlay = draw_overlay(pratt, picture)
    assert (picture == before).all()
    height, width = picture.shape[:2]
    assert overlay.shape[1] == width
    assert (overlay[:100, :, :] == before[:100]).all()
    changed = (overlay[:height] != before).any(axis=2).mean()
    assert 0.02 < changed < 0.25


def test_labels_cover_nothing(pratt) -> None:
    """On the Pratt truss no label covers another, a joint, a member, an arrow or a support."""
    assert lay_out(pratt).overlap == 0


def test_another_picture_is_refused(pratt) -> None:
    """A picture of another size than the one read is an error that names both sizes."""
    with pytest.raises(ValueError, match="900 x 675"):
        draw_overlay(pratt, np.zeros((10, 10, 3), np.uint8))


def test_an_unknown_kind_is_refused(pratt) -> None:
    """A kind that is not one of ours is an error that lists those that are."""
    with pytest.raises(ValueError, match="png, jpg, svg, pdf"):
        write_overlay(pratt, None, io.BytesIO(), "gif")


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_scene_gives_the_same_bytes(pratt, kind: str) -> None:
    """Nothing of chance or of the clock gets into a file."""
    picture = photographed(pratt, "board")
    assert written(pratt, picture, kind) == written(pratt, picture, kind)


def test_svg_holds_every_label_as_text(pratt) -> None:
    """Member labels, names, loads, reactions, title, legend and caution can be searched and read aloud."""
    root = ET.fromstring(written(pratt, photographed(pratt, "paper"), "svg"))  # noqa: S314 (our own file)
    name = "{http://www.w3.org/2000/svg}"
    words = [element.text for element in root.iter(f"{name}text")]
    for label in [member.label for member in pratt.members] + [joint.name for joint in pratt.joints]:
        assert label in words
    for arrow in (*pratt.loads, *pratt.reactions):
        assert arrow.label in words
    assert pratt.title in words
    assert root.find(f"{name}title").text == pratt.title
    assert CAUTION in " ".join(words)
    assert len(list(root.iter(f"{name}image"))) == 1


def test_pdf_holds_text_and_typeface(pratt) -> None:
    """The PDF carries the typeface and shows text, not outlines of it."""
    data = written(pratt, None, "pdf")
    assert b"SourceSansPro-Semibold" in data
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", data, re.DOTALL)
    pages = [zlib.decompress(stream) for stream in streams if stream[:1] == b"x"]
    assert sum(page.count(b"BT") for page in pages) >= len(pratt.members) + len(pratt.joints)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler's pdftotext to read a PDF")
def test_pdf_text_can_be_searched(pratt, tmp_path) -> None:
    """A PDF reader finds level labels, title and caution in the page's text."""
    (tmp_path / "overlay.pdf").write_bytes(written(pratt, None, "pdf"))
    text = subprocess.run(
        ["pdftotext", "-raw", tmp_path / "overlay.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    for member in pratt.members:
        assert member.label.split(maxsplit=1)[0] in text
    assert pratt.title in text
    assert CAUTION in " ".join(text.split())


def test_matplotlib_is_left_alone_for_rasters_and_svg() -> None:
    """Only a PDF pays for importing matplotlib."""
    code = "import sys, cli.sheets.overlay, cli.sheets.svg; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_names_picture_marks_what_was_read(pratt) -> None:
    """The picture with names has the photograph's size and differs from it only near the truss."""
    picture = photographed(pratt, "board")
    before = picture.copy()
    joints = [(joint.x, joint.y) for joint in pratt.joints]
    members = [(member.start, member.end) for member in pratt.members]
    named = names_picture(picture, joints, [joint.name for joint in pratt.joints], members)
    assert named.shape == picture.shape
    assert (picture == before).all()
    assert 0.005 < (named != before).any(axis=2).mean() < 0.15


def test_shapes_leave_no_trace_outside_themselves() -> None:
    """Slanted lines over many tiles paint nothing beyond a pixel of their outline, and all of its inside."""
    random = np.random.default_rng(2)
    rows, columns = np.mgrid[0:300, 0:420]
    for _ in range(40):
        ends = random.uniform((-60, -60), (480, 360), (2, 2))
        width = float(random.uniform(3, 30))
        painted = paint(Drawing(420, 300, (Stroke(ends, width, "#000000"),)))
        outline = shapely.Polygon(quad(ends[0], ends[1], width))
        y, x = np.nonzero((painted < 255).any(axis=2))
        assert shapely.contains_xy(outline.buffer(1.0), x + 0.5, y + 0.5).all()
        inside = shapely.contains_xy(outline.buffer(-1.0), columns + 0.5, rows + 0.5)
        assert (painted[inside] == 0).all()
