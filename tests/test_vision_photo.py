"""Picture files of every kind, whole and broken, go through `load_photo`."""

from __future__ import annotations

import hashlib
import io
import struct
import subprocess
import sys
import zlib
from pathlib import Path

import cv2
import numpy as np
import pillow_heif
import pytest
from PIL import Image

from vision import load_photo
from vision.errors import (
    DamagedPhotoError,
    MissingPhotoError,
    NotAPictureError,
    PhotoError,
    TooFewPixelsError,
    TooManyBytesError,
    TooManyPixelsError,
)
from vision.settings import PhotoSettings

WIDTH, HEIGHT = 160, 96


def scene() -> Image.Image:
    """Four quarters of different colour: red, green / blue, white."""
    rgb = np.zeros((HEIGHT, WIDTH, 3), np.uint8)
    rgb[: HEIGHT // 2, : WIDTH // 2] = (220, 20, 20)
    rgb[: HEIGHT // 2, WIDTH // 2 :] = (20, 200, 20)
    rgb[HEIGHT // 2 :, : WIDTH // 2] = (20, 20, 220)
    rgb[HEIGHT // 2 :, WIDTH // 2 :] = (255, 255, 255)
    return Image.fromarray(rgb)


def assert_shows_scene(rgb: np.ndarray, tolerance: int = 25) -> None:
    """Each quarter has its colour, so nothing is turned, mirrored or recoloured."""
    wanted = np.asarray(scene()).astype(int)
    for row in (HEIGHT // 4, 3 * HEIGHT // 4):
        for column in (WIDTH // 4, 3 * WIDTH // 4):
            assert np.abs(rgb[row, column].astype(int) - wanted[row, column]).max() <= tolerance


def write_heif(path: Path, image: Image.Image) -> None:
    """Save through pillow-heif, as a phone would have."""
    pillow_heif.from_pillow(image).save(path, quality=90)


@pytest.mark.parametrize("suffix", ["jpg", "png", "webp", "tiff", "bmp", "heic"])
def test_every_format_gives_the_same_upright_colours(tmp_path: Path, suffix: str) -> None:
    """Each supported format is decoded to the same (H, W, 3) uint8 picture."""
    path = tmp_path / f"scene.{suffix}"
    if suffix == "heic":
        write_heif(path, scene())
    else:
        scene().save(path)
    photo = load_photo(path)
    assert (photo.width, photo.height) == (WIDTH, HEIGHT)
    assert photo.rgb.shape == (HEIGHT, WIDTH, 3)
    assert photo.rgb.dtype == np.uint8
    assert photo.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert_shows_scene(photo.rgb)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_exif_orientation_makes_the_picture_upright(tmp_path: Path, orientation: int) -> None:
    """A camera held in any of the eight ways gives the same upright picture (CIPA DC-008, tag 274)."""
    # The stored picture is the upright one under the inverse of the turn that the tag asks for.
    stored = {
        1: lambda im: im,
        2: lambda im: im.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
        3: lambda im: im.transpose(Image.Transpose.ROTATE_180),
        4: lambda im: im.transpose(Image.Transpose.FLIP_TOP_BOTTOM),
        5: lambda im: im.transpose(Image.Transpose.TRANSPOSE),
        6: lambda im: im.transpose(Image.Transpose.ROTATE_90),
        7: lambda im: im.transpose(Image.Transpose.TRANSVERSE),
        8: lambda im: im.transpose(Image.Transpose.ROTATE_270),
    }[orientation](scene())
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored.save(tmp_path / "turned.jpg", exif=exif, quality=95)
    photo = load_photo(tmp_path / "turned.jpg")
    assert (photo.width, photo.height) == (WIDTH, HEIGHT)
    assert_shows_scene(photo.rgb)


def test_heic_turned_by_the_camera_is_upright(tmp_path: Path) -> None:
    """The turn is applied once, not twice, to a HEIC file."""
    turned = scene().transpose(Image.Transpose.ROTATE_90)
    exif = Image.Exif()
    exif[0x0112] = 6
    heif = pillow_heif.from_pillow(turned)
    heif.info["exif"] = exif.tobytes()
    heif.save(tmp_path / "turned.heic", quality=90)
    assert_shows_scene(load_photo(tmp_path / "turned.heic").rgb)


def test_alpha_is_laid_over_white(tmp_path: Path) -> None:
    """A transparent ground is white paper, in full alpha, grey with alpha and palette pictures."""
    ink = np.zeros((HEIGHT, WIDTH, 4), np.uint8)
    ink[40:50, :, 3] = 255
    picture = Image.fromarray(ink)
    picture.save(tmp_path / "rgba.png")
    picture.convert("LA").save(tmp_path / "la.png")
    picture.quantize(4).save(tmp_path / "p.png")
    for name in ("rgba.png", "la.png", "p.png"):
        rgb = load_photo(tmp_path / name).rgb
        assert (rgb[10] == 255).all(), name
        assert (rgb[45] < 10).all(), name


def test_grey_bilevel_and_palette(tmp_path: Path) -> None:
    """One channel becomes three equal ones."""
    for mode in ("L", "1", "P"):
        scene().convert("L").convert(mode).save(tmp_path / f"{mode}.png")
        rgb = load_photo(tmp_path / f"{mode}.png").rgb
        assert rgb.shape == (HEIGHT, WIDTH, 3)
        assert (rgb[..., 0] == rgb[..., 2]).all()
        assert rgb[80, 120, 0] == 255


@pytest.mark.parametrize("suffix", ["png", "tiff"])
def test_sixteen_bit_grey_is_scaled_not_clipped(tmp_path: Path, suffix: str) -> None:
    """A ramp of 16-bit greys keeps its middle grey."""
    ramp = np.linspace(0, 65535, WIDTH).astype(np.uint16)
    Image.fromarray(np.tile(ramp, (HEIGHT, 1))).save(tmp_path / f"ramp.{suffix}")
    rgb = load_photo(tmp_path / f"ramp.{suffix}").rgb
    np.testing.assert_allclose(rgb[5, :, 1], np.linspace(0, 255, WIDTH), atol=1)


def test_sixteen_bit_colour_png(tmp_path: Path) -> None:
    """A 16-bit colour PNG, as scanners write, keeps its colours."""
    deep = np.asarray(scene())[:, :, ::-1].astype(np.uint16) * 257
    assert cv2.imwrite(str(tmp_path / "deep.png"), deep)
    assert_shows_scene(load_photo(tmp_path / "deep.png").rgb, tolerance=1)


def test_float_tiff(tmp_path: Path) -> None:
    """Measured levels in floating point span black to white."""
    levels = np.tile(np.linspace(-1, 3, WIDTH, dtype=np.float32), (HEIGHT, 1))
    Image.fromarray(levels).save(tmp_path / "levels.tiff")
    rgb = load_photo(tmp_path / "levels.tiff").rgb
    assert rgb[0, 0, 0] == 0
    assert rgb[0, -1, 0] == 255


def test_cmyk_jpeg(tmp_path: Path) -> None:
    """A JPEG for the printer is read as colours of light."""
    scene().convert("CMYK").save(tmp_path / "print.jpg", quality=95)
    assert_shows_scene(load_photo(tmp_path / "print.jpg").rgb, tolerance=60)


def test_the_picture_cannot_be_drawn_into(tmp_path: Path) -> None:
    """A photo is a value: overlays copy it."""
    scene().save(tmp_path / "scene.png")
    with pytest.raises(ValueError, match="read-only"):
        load_photo(tmp_path / "scene.png").rgb[0, 0] = 0


def header_only_png(width: int, height: int) -> bytes:
    """Promise pixels in the header of a PNG and give none."""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = b""
    for name, body in ((b"IHDR", header), (b"IDAT", b"")):
        chunks += struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    return b"\x89PNG\r\n\x1a\n" + chunks


def jpeg_bytes() -> bytes:
    """Give the scene as JPEG."""
    out = io.BytesIO()
    scene().save(out, "JPEG")
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "content", "error", "says"),
    [
        ("notes.jpg", b"Dear class, read chapter 6.\n" * 40, NotAPictureError, "JPEG, PNG"),
        ("empty.jpg", b"", NotAPictureError, "JPEG, PNG"),
        ("cut.jpg", jpeg_bytes()[:-400], DamagedPhotoError, "Copy it again"),
        ("huge.png", header_only_png(30_000, 30_000), TooManyPixelsError, "30000 x 30000"),
        ("stub.png", header_only_png(300, 300)[:30], DamagedPhotoError, "PNG"),
        ("nothing.png", header_only_png(300, 300), DamagedPhotoError, "PNG"),
        ("dot.png", header_only_png(1, 1), TooFewPixelsError, "1 x 1"),
    ],
)
def test_bad_files_end_in_one_sentence_and_a_cure(
    tmp_path: Path, name: str, content: bytes, error: type[PhotoError], says: str
) -> None:
    """Each kind of bad file has its own error, which names the file and says what to do."""
    (tmp_path / name).write_bytes(content)
    with pytest.raises(error) as caught:
        load_photo(tmp_path / name)
    assert name in str(caught.value)
    assert says in str(caught.value)
    assert caught.value.name.endswith(name)


def test_a_one_pixel_picture_is_refused(tmp_path: Path) -> None:
    """A whole picture of one pixel is too small, not damaged."""
    Image.new("RGB", (1, 1)).save(tmp_path / "dot.png")
    with pytest.raises(TooFewPixelsError):
        load_photo(tmp_path / "dot.png")


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    """What is not there, or is a folder, is said to be so."""
    with pytest.raises(MissingPhotoError, match=r"gone\.jpg: there is no such file"):
        load_photo(tmp_path / "gone.jpg")
    with pytest.raises(MissingPhotoError, match="folder"):
        load_photo(tmp_path)
    with pytest.raises(MissingPhotoError):
        load_photo("bad\0name.jpg")


def test_the_byte_limit_holds_before_reading(tmp_path: Path) -> None:
    """A file above the byte limit is refused by its size alone."""
    (tmp_path / "large.jpg").write_bytes(jpeg_bytes())
    with pytest.raises(TooManyBytesError, match="Save it as JPEG"):
        load_photo(tmp_path / "large.jpg", settings=PhotoSettings(most_bytes=100))


@pytest.mark.parametrize("suffix", ["jpg", "png", "webp", "tiff", "bmp", "heic"])
def test_damage_anywhere_never_escapes_the_error_tree(tmp_path: Path, suffix: str) -> None:
    """Seeded damage, flipped bytes and cuts, gives a picture or a `PhotoError`, nothing else."""
    path = tmp_path / f"scene.{suffix}"
    if suffix == "heic":
        write_heif(path, scene())
    else:
        scene().save(path)
    whole = path.read_bytes()
    rng = np.random.default_rng(7)
    small = PhotoSettings(most_pixels=4_000_000)
    refusals: list[PhotoError] = []
    for _ in range(40):
        content = np.frombuffer(whole, np.uint8).copy()
        places = rng.integers(0, min(len(content), 600), rng.integers(1, 12))
        content[places] = rng.integers(0, 256, len(places))
        path.write_bytes(content[: rng.integers(1, len(content) + 1)].tobytes())
        try:
            assert load_photo(path, settings=small).rgb.ndim == 3
        except PhotoError as refusal:
            refusals.append(refusal)
    assert refusals
    assert all(path.name in str(refusal) for refusal in refusals)


def test_the_heic_codec_is_loaded_only_for_heic() -> None:
    """Loading the package does not load the HEIC codec."""
    code = "import sys, vision.photo; print('pillow_heif' in sys.modules)"
    result = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parent.parent,
    )
    assert result.stdout.strip() == "False"
