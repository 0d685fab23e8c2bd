"""A picture file becomes a `Photo`: upright, three colours, eight bits, whatever the camera wrote."""

from __future__ import annotations

import hashlib
import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, UnidentifiedImageError

from vision.errors import (
    DamagedPhotoError,
    MissingPhotoError,
    NotAPictureError,
    TooFewPixelsError,
    TooManyBytesError,
    TooManyPixelsError,
)
from vision.settings import PhotoSettings

__all__ = ["Photo", "load_photo"]

_BROKEN = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    IndexError,
    KeyError,
    OverflowError,
    RuntimeError,
    TypeError,
    struct.error,
    zlib.error,
)
"""What the decoders of Pillow and pillow-heif raise on broken content; each codec has its own habit."""

_ORIENTATION_TAG = 0x0112
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""EXIF orientation (CIPA DC-008, tag 274) to the turn that makes the picture upright."""

_HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1")
"""Brands in the `ftyp` box of HEIF files with HEVC pictures (ISO/IEC 23008-12)."""

_SIGNATURES = (
    (b"\xff\xd8\xff", "JPEG"),
    (b"\x89PNG\r\n\x1a\n", "PNG"),
    (b"RIFF", "WebP"),
    (b"II*\0", "TIFF"),
    (b"MM\0*", "TIFF"),
    (b"BM", "BMP"),
)
"""First bytes of the formats, to tell a broken picture from no picture at all."""

_SIXTEEN_BIT_STEP = 257
"""65535 / 255: sixteen bits to eight without a shift of white."""


@dataclass(frozen=True, eq=False)
class Photo:
    """An upright photograph."""

    rgb: NDArray[np.uint8]
    """(H, W, 3), read-only; row 0 on top, EXIF orientation applied, alpha laid over white."""
    path: Path
    """Where it came from."""
    sha256: str
    """Of the bytes of the file, in hexadecimal."""

    @property
    def width(self) -> int:
        """Pixels across."""
        return int(self.rgb.shape[1])

    @property
    def height(self) -> int:
        """Pixels down."""
        return int(self.rgb.shape[0])


def load_photo(path: str | PathLike[str], *, settings: PhotoSettings | None = None) -> Photo:
    """Load a photograph: JPEG, PNG, WebP, TIFF, BMP or HEIC, in any colour mode Pillow knows.

    Parameters
    ----------
    path
        The picture file. The content decides the format, not the suffix.
    settings
        Limits; the defaults suit photographs.

    Returns
    -------
    Photo
        Upright, (H, W, 3) uint8.

    Raises
    ------
    MissingPhotoError, NotAPictureError, DamagedPhotoError
        Nothing there; no picture; a broken picture.
    TooManyBytesError, TooManyPixelsError, TooFewPixelsError
        Outside the limits. Size in pixels is checked on the header, before anything is decoded.
    """
    limits = settings or PhotoSettings()
    file = Path(path)
    content = _bytes_of(file, limits)
    with _own_pixel_limit():
        image = _open(file, content)
        kind = image.format or "picture"
        width, height = image.size
        if width * height > limits.most_pixels:
            raise TooManyPixelsError(str(file), width, height, limits.most_pixels)
        if min(width, height) < limits.least_side:
            raise TooFewPixelsError(str(file), width, height, limits.least_side)
        try:
            image.load()
            rgb = _eight_bit_rgb(_upright(image))
        except _BROKEN as broken:
            raise DamagedPhotoError(str(file), kind) from broken
    rgb.setflags(write=False)
    return Photo(rgb=rgb, path=file, sha256=hashlib.sha256(content).hexdigest())


def _bytes_of(file: Path, limits: PhotoSettings) -> bytes:
    try:
        size = file.stat().st_size
        if size > limits.most_bytes:
            raise TooManyBytesError(str(file), size, limits.most_bytes)
        return file.read_bytes()
    except FileNotFoundError:
        raise MissingPhotoError(str(file), "there is no such file") from None
    except IsADirectoryError:
        raise MissingPhotoError(str(file), "it is a folder") from None
    except (OSError, ValueError) as refusal:
        reason = getattr(refusal, "strerror", None) or "the name is not valid"
        raise MissingPhotoError(str(file), reason.lower()) from None


@contextmanager
def _own_pixel_limit() -> Iterator[None]:
    """Let the limit of `PhotoSettings` stand instead of Pillow's, which refuses at 179 Mpx."""
    before = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None
    try:
        with warnings.catch_warnings():
            # Pillow warns of odd metadata (a cut EXIF block, say); the pixels are what counts here.
            warnings.simplefilter("ignore")
            yield
    finally:
        Image.MAX_IMAGE_PIXELS = before


def _open(file: Path, content: bytes) -> Image.Image:
    if content[4:8] == b"ftyp" and content[8:12] in _HEIF_BRANDS:
        # Imported only for the phones that write it: the codec library takes a while to load.
        from pillow_heif import HeifImagePlugin  # noqa: F401, PLC0415
    try:
        return Image.open(io.BytesIO(content))
    except UnidentifiedImageError:
        kind = next((kind for start, kind in _SIGNATURES if content.startswith(start)), None)
        if kind is None:
            raise NotAPictureError(str(file)) from None
        raise DamagedPhotoError(str(file), kind) from None
    except _BROKEN as broken:
        raise DamagedPhotoError(str(file), "picture") from broken


def _upright(image: Image.Image) -> Image.Image:
    try:
        orientation = image.getexif().get(_ORIENTATION_TAG)
    except _BROKEN:
        # A broken EXIF block says nothing about the pixels; such a picture is taken as it lies.
        return image
    turn = _TURNS.get(orientation) if isinstance(orientation, int) else None
    return image if turn is None else image.transpose(turn)


def _eight_bit_rgb(image: Image.Image) -> NDArray[np.uint8]:
    if image.mode.startswith("I"):
        levels = np.asarray(image).astype(np.float64)
        # Pillow gives 16-bit grey as I or I;16 and would clip at 255 instead of scaling.
        grey = np.clip(levels / _SIXTEEN_BIT_STEP, 0, 255).round().astype(np.uint8)
        return np.repeat(grey[:, :, None], 3, axis=2)
    if image.mode == "F":
        levels = np.nan_to_num(np.asarray(image).astype(np.float64))
        spread = float(np.ptp(levels)) or 1.0
        grey = ((levels - levels.min()) * (255 / spread)).round().astype(np.uint8)
        return np.repeat(grey[:, :, None], 3, axis=2)
    if image.has_transparency_data:
        layered = image.convert("RGBA")
        paper = Image.new("RGBA", layered.size, "white")
        image = Image.alpha_composite(paper, layered)
    # `convert` would copy a picture that needs none: a hundred milliseconds on a phone's photograph.
    return np.array(image if image.mode == "RGB" else image.convert("RGB"))
