"""The pictures that are kept of a sheet: small, with nothing outside the drawing where names may stand."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from cli.model.file import Model
from cli.own_pictures import signed
from cli.sheets.marks import Drawing
from cli.sheets.shrink import shrunk
from vision import Photo

__all__ = [
    "DRAWING_QUALITY",
    "DRAWING_SIDE",
    "THUMBNAIL_QUALITY",
    "THUMBNAIL_SIDE",
    "for_keeping",
    "jpeg",
    "with_blank_margins",
    "without_strip",
]

DRAWING_SIDE = 1600
"""Pixels of the longer side of the kept drawing: sharp on any screen, a tenth of a telephone's picture."""
THUMBNAIL_SIDE = 320
"""Pixels of the longer side: large enough to see a missing member, about 10 kB each."""
DRAWING_QUALITY = 88
THUMBNAIL_QUALITY = 72
"""Of JPEG, 0 to 100; at thumbnail size a lower one cannot be told apart."""
KEPT_MARGIN = 0.15
"""Of the drawing's larger side: supports and loads stand that near to it."""


def for_keeping(photo: Photo, model: Model) -> tuple[Photo, Model]:
    """Return a photograph and its model in the size of the kept drawing.

    Every joint of the model has its place in the photograph, `px`.
    """
    small, _ = shrunk(photo.rgb, DRAWING_SIDE)
    scale = np.array([small.shape[1] / photo.width, small.shape[0] / photo.height])
    joints = []
    for joint in model.joints:
        assert joint.px is not None
        x, y = (np.array(joint.px) + 0.5) * scale - 0.5
        joints.append(joint.model_copy(update={"px": (float(x), float(y))}))
    return replace(photo, rgb=small), model.model_copy(update={"joints": tuple(joints)})


def with_blank_margins(photo: Photo, model: Model) -> Photo:
    """Return a photograph with blank paper round the drawing: names stand in the margins.

    Every joint of the model has its place in the photograph, `px`.
    """
    px = np.array([joint.px for joint in model.joints], dtype=float)
    room = KEPT_MARGIN * float(np.ptp(px, axis=0).max())
    left, top = np.maximum(np.floor(px.min(axis=0) - room), 0).astype(int)
    right, bottom = np.ceil(px.max(axis=0) + room).astype(int)
    rgb = np.full_like(photo.rgb, 255)
    rgb[top:bottom, left:right] = photo.rgb[top:bottom, left:right]
    return replace(photo, rgb=rgb)


def without_strip(picture: NDArray[np.uint8], drawing: Drawing) -> NDArray[np.uint8]:
    """Return the part of a painted drawing that is photograph: the legend is too small for a thumbnail.

    Parameters
    ----------
    picture : (H, W, 3) uint8
        The drawing, painted at its own size.
    drawing
        On a photograph.
    """
    ground = drawing.photograph
    assert ground is not None
    top, left = round(ground.y), round(ground.x)
    return picture[top : top + ground.rgb.shape[0], left : left + ground.rgb.shape[1]]


def jpeg(rgb: NDArray[np.uint8], quality: int) -> bytes:
    """Return an (H, W, 3) uint8 picture as a JPEG file, signed as ours, of a quality from 0 to 100."""
    done, data = cv2.imencode(
        ".jpg", cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, quality]
    )
    assert done
    return signed(data.tobytes())
