"""Pictures on their way in and out of the page.

Uploads are checked and stored under a name of our own; the photograph is shown as a JPEG that every browser
knows.
"""

from __future__ import annotations

import io
from datetime import datetime
from pathlib import Path

import cv2

from cli.model.file import MODEL_SUFFIX, Model
from cli.model.parts import PictureEntry, UnitsEntry
from cli.outputs import write_atomically
from cli.page.errors import UploadError
from cli.sheets.shrink import shrunk
from cli.translate.from_reading import model_of, picture_name
from vision import NoTrussError, Photo, PhotoError, load_photo, read_photo
from vision.settings import PhotoSettings

__all__ = ["LARGEST_UPLOAD", "UPLOADS", "free_model_path", "model_from", "shown", "store_upload"]

LARGEST_UPLOAD = 64_000_000
"""Bytes. Phones write at most some 30 MB; what is dropped on the page passes through memory."""

UPLOADS = PhotoSettings(most_bytes=LARGEST_UPLOAD, most_pixels=120_000_000)
"""Tighter than for files that a person names on the command line."""

LONGEST_SHOWN = 4096
"""Pixels. A larger picture is shown reduced: browsers refuse textures far beyond it."""

JPEG_QUALITY = 90

UNITS = UnitsEntry(length="mm", force="N")
"""Before anybody has chosen."""

_SUFFIXES = (
    (b"\xff\xd8\xff", "jpg"),
    (b"\x89PNG", "png"),
    (b"RIFF", "webp"),
    (b"II*\0", "tif"),
    (b"MM\0*", "tif"),
    (b"BM", "bmp"),
)


def store_upload(data: bytes, folder: Path) -> Path:
    """Check an uploaded picture and store it in a folder, under a name made from the time.

    Nothing that the browser sent decides the name.

    Raises
    ------
    UploadError
        When it is no picture that can be used.
    """
    suffix = next((suffix for start, suffix in _SUFFIXES if data.startswith(start)), "heic")
    path = _free(folder / f"photo-{datetime.now().astimezone():%Y-%m-%d-%H%M%S}.{suffix}")
    write_atomically(path, data)
    try:
        load_photo(path, settings=UPLOADS)
    except PhotoError as error:
        path.unlink()
        # The name is ours and means nothing to the person.
        raise UploadError(str(error).replace(str(path), "This file"), "Drop another picture.") from None
    return path


def free_model_path(photo: Path) -> Path:
    """Return a model file's name beside a stored upload that is not taken."""
    return _free(photo.with_name(f"{photo.stem}{MODEL_SUFFIX}"))


def _free(path: Path) -> Path:
    stem, dot, suffix = path.name.partition(".")
    count, free = 1, path
    while free.exists():
        count += 1
        free = path.with_name(f"{stem}-{count}{dot}{suffix}")
    return free


def model_from(photo_path: Path, model_folder: Path) -> tuple[Model, tuple[str, ...]]:
    """Read a photograph into a model; one in which no truss is seen gives a model to draw by hand.

    Returns
    -------
    model, remarks
        Unconfirmed, and sentences for the person.

    Raises
    ------
    PhotoError
        When it is no picture that can be read.
    """
    photo = load_photo(photo_path)
    try:
        reading = read_photo(photo)
    except NoTrussError as error:
        return _empty(photo, model_folder), (str(error), "You can draw the truss by hand on the picture.")
    model = model_of(reading, photo, model_folder=model_folder, units=UNITS)
    return model, reading.remarks


def _empty(photo: Photo, model_folder: Path) -> Model:
    return Model(
        confirmed=False,
        units=UNITS,
        picture=PictureEntry(
            file=picture_name(photo.path, model_folder),
            sha256=photo.sha256,
            width=photo.width,
            height=photo.height,
        ),
        joints=(),
        members=(),
    )


def shown(photo: Photo) -> bytes:
    """Return a photograph as a JPEG file, upright, reduced when it is huge."""
    pixels, _ = shrunk(photo.rgb, LONGEST_SHOWN)
    done, coded = cv2.imencode(".jpg", pixels[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    if not done:
        raise AssertionError("any eight-bit picture can be written as JPEG")
    return io.BytesIO(coded.tobytes()).getvalue()
