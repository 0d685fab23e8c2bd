"""The front door of overlays: forces, or names, on the photograph they were read from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import BinaryIO

import cv2
import numpy as np
from numpy.typing import NDArray

from cli.own_pictures import signed
from cli.sheets.layout import lay_out
from cli.sheets.marks import Drawing
from cli.sheets.names import lay_out_names
from cli.sheets.raster import paint
from cli.sheets.scene import Scene
from cli.sheets.words import ENGLISH, SheetWords

__all__ = ["KINDS", "draw_overlay", "encode", "names_picture", "write_overlay"]

KINDS = ("png", "jpg", "svg", "pdf")
"""What an overlay can be written as."""
_JPEG_QUALITY = 93
"""High enough that coloured edges of letters stay clean."""


def draw_overlay(
    scene: Scene, picture: NDArray[np.uint8] | None = None, *, words: SheetWords = ENGLISH
) -> NDArray[np.uint8]:
    """Return the overlay as pixels.

    Parameters
    ----------
    scene : Scene
        What to show.
    picture : (H, W, 3) uint8, optional
        The photograph as RGB, never written to; plain paper without it.
    words : SheetWords
        Language of the legend.

    Returns
    -------
    (H2, W2, 3) uint8
        The photograph at its own resolution with forces on it and the legend below.
    """
    return paint(lay_out(scene, _fitting(scene, picture), words=words).drawing)


def write_overlay(
    scene: Scene,
    picture: NDArray[np.uint8] | None,
    target: Path | BinaryIO,
    kind: str,
    *,
    words: SheetWords = ENGLISH,
) -> None:
    """Write the overlay of a scene.

    Parameters
    ----------
    scene : Scene
        What to show.
    picture : (H, W, 3) uint8, optional
        The photograph as RGB; plain paper without it.
    target : Path or binary stream
        Where to. A file that stands there is replaced; whether it may be is for the caller to know.
    kind : str
        One of `KINDS`; `jpeg` counts as `jpg`.
    words : SheetWords
        Language of the legend.

    Raises
    ------
    ValueError
        For another kind, or a picture of another size than the scene.
    """
    data = encode(lay_out(scene, _fitting(scene, picture), words=words).drawing, kind)
    if isinstance(target, Path):
        target.write_bytes(data)
    else:
        target.write(data)


def names_picture(
    picture: NDArray[np.uint8],
    joints: Sequence[tuple[float, float]],
    names: Sequence[str],
    members: Sequence[tuple[int, int]],
) -> NDArray[np.uint8]:
    """Return the photograph with what was read drawn on it and every joint named.

    Parameters
    ----------
    picture : (H, W, 3) uint8
        The photograph as RGB, never written to.
    joints : sequence of (x, y)
        Pixels, y down.
    names : sequence of str
        One for each joint.
    members : sequence of pairs
        Rows of `joints`.
    """
    return paint(lay_out_names(picture, joints, names, members))


def encode(drawing: Drawing, kind: str) -> bytes:
    """Return a drawing as the bytes of a file of a kind; the same drawing gives the same bytes."""
    if kind == "svg":
        from cli.sheets.svg import to_svg  # noqa: PLC0415 (slow to import, seldom needed)

        return to_svg(drawing).encode()
    if kind == "pdf":
        from cli.sheets.pdf import to_pdf  # noqa: PLC0415 (matplotlib: slow to import, seldom needed)

        return to_pdf(drawing)
    if kind not in ("png", "jpg", "jpeg"):
        raise ValueError(f"An overlay is one of {', '.join(KINDS)}, not {kind!r}.")
    bgr = cv2.cvtColor(paint(drawing), cv2.COLOR_RGB2BGR)
    settings = [] if kind == "png" else [cv2.IMWRITE_JPEG_QUALITY, _JPEG_QUALITY]
    done, data = cv2.imencode(f".{kind}", bgr, settings)
    assert done
    return signed(data.tobytes())


def _fitting(scene: Scene, picture: NDArray[np.uint8] | None) -> NDArray[np.uint8] | None:
    if picture is not None and picture.shape != (scene.height, scene.width, 3):
        raise ValueError(
            f"The picture is {picture.shape[1]} x {picture.shape[0]} pixels, but the joints were read in one"
            f" of {scene.width} x {scene.height}: give the picture that was read."
        )
    return picture
