"""Painting a drawing into pixels: shapes by OpenCV, letters by Pillow, both at four times the size.

Shapes are filled in square tiles at four times the resolution and averaged down, which gives sixteen steps of
edge coverage at any angle and touches only the tiles that a shape meets. Letters are set at four times the
size, turned and moved in that grid, and averaged down, so that they stand where the layout put them to a
fraction of a pixel.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from cli.sheets.marks import Drawing, Fill, Mark, Stroke, Text, dashes, quad
from cli.sheets.palette import PAPER, rgb
from cli.sheets.typeface import measure, pillow_font

__all__ = ["paint"]

Picture = NDArray[np.uint8]
Points = NDArray[np.float64]

_FINE = 4
"""Sub-pixels per pixel, each way."""
_TILE = 128
"""Pixels along the side of a tile: larger wastes work on slanted lines, smaller wastes calls."""
_RIM = 4
"""Sub-pixels round a tile that are thrown away: OpenCV draws edges that lie outside along the border."""
_SHIFT = 6
"""Binary places of a sub-pixel passed to OpenCV."""
_CAP_SIDES = 24
"""Of the polygon that stands for the round end of a stroke."""


def paint(drawing: Drawing) -> Picture:
    """Return the drawing as an (H, W, 3) RGB picture; the photograph in it is copied, never written to."""
    canvas = np.empty((math.ceil(drawing.height), math.ceil(drawing.width), 3), dtype=np.uint8)
    canvas[:] = rgb(PAPER)
    if drawing.photograph is not None:
        photo = drawing.photograph
        x, y = round(photo.x), round(photo.y)
        canvas[y : y + photo.rgb.shape[0], x : x + photo.rgb.shape[1]] = photo.rgb
    run: list[Points] = []
    style: tuple[str, float] | None = None
    for mark in drawing.marks:
        if isinstance(mark, Text):
            if style:
                _fill(canvas, run, *style)
            run, style = [], None
            for piece in mark.pieces:
                _write(canvas, piece)
            continue
        # Neighbours in one paint are filled as one shape: crossing casings must not darken each other.
        if style != (mark.colour, mark.opacity):
            if style:
                _fill(canvas, run, *style)
            run, style = [], (mark.colour, mark.opacity)
        run.extend(_polygons(mark))
    if style:
        _fill(canvas, run, *style)
    return canvas


def _polygons(mark: Mark) -> list[Points]:
    """Return the polygons that a stroke or shape covers."""
    if isinstance(mark, Fill):
        return [mark.points]
    assert isinstance(mark, Stroke)
    pieces = dashes(mark.points, mark.dash) if mark.dash else [mark.points]
    shapes: list[Points] = []
    for piece in pieces:
        for start, end in pairwise(piece):
            count = max(1, math.ceil(float(np.hypot(*(end - start))) / _TILE))
            stops = start + (end - start) * np.linspace(0, 1, count + 1)[:, None]
            shapes.extend(quad(one, other, mark.width) for one, other in pairwise(stops))
        # Round joins always; round ends where asked.
        for corner in piece if mark.round_caps else piece[1:-1]:
            turn = np.linspace(0, 2 * math.pi, _CAP_SIDES, endpoint=False)
            shapes.append(corner + mark.width / 2 * np.column_stack([np.cos(turn), np.sin(turn)]))
    return shapes


def _fill(canvas: Picture, polygons: Sequence[Points], colour: str, opacity: float) -> None:
    tiles: dict[tuple[int, int], list[Points]] = {}
    rows, columns = math.ceil(canvas.shape[0] / _TILE), math.ceil(canvas.shape[1] / _TILE)
    for polygon in polygons:
        left, top = np.floor(polygon.min(axis=0) / _TILE).astype(int)
        right, bottom = np.floor(polygon.max(axis=0) / _TILE).astype(int)
        for row in range(max(top, 0), min(bottom, rows - 1) + 1):
            for column in range(max(left, 0), min(right, columns - 1) + 1):
                tiles.setdefault((row, column), []).append(polygon)
    for (row, column), shapes in sorted(tiles.items()):
        origin = np.array([column * _TILE, row * _TILE])
        fine = np.zeros((_TILE * _FINE + 2 * _RIM, _TILE * _FINE + 2 * _RIM), dtype=np.uint8)
        for shape in shapes:
            # Sub-pixel centres are whole numbers for OpenCV.
            corners = np.round(((shape - origin) * _FINE + _RIM - 0.5) * 2**_SHIFT).astype(np.int32)
            cv2.fillPoly(fine, [corners], 255, shift=_SHIFT)
        inner = fine[_RIM:-_RIM, _RIM:-_RIM]
        cover = cv2.resize(inner, (_TILE, _TILE), interpolation=cv2.INTER_AREA)
        _blend(canvas, cover.astype(np.float32) * (opacity / 255), colour, column * _TILE, row * _TILE)


def _blend(canvas: Picture, cover: NDArray[np.float32], colour: str, left: int, top: int) -> None:
    """Lay a colour over the canvas where `cover` (0 to 1) says so, cut off at its edges."""
    bottom, right = min(top + cover.shape[0], canvas.shape[0]), min(left + cover.shape[1], canvas.shape[1])
    first_row, first_column = max(top, 0), max(left, 0)
    if bottom <= first_row or right <= first_column:
        return
    share = cover[first_row - top : bottom - top, first_column - left : right - left, None]
    under = canvas[first_row:bottom, first_column:right]
    over = np.array(rgb(colour), dtype=np.float32)
    canvas[first_row:bottom, first_column:right] = np.rint(under + (over - under) * share).astype(np.uint8)


def _letters(text: Text) -> tuple[NDArray[np.float32], int, int]:
    """Return the coverage of the letters, 0 to 1, with its left and top in the drawing."""
    size = max(1, round(text.size * _FINE))
    exact = text.size * _FINE / size
    font = pillow_font(text.weight, size)
    room = measure(text.words, size, text.weight)
    edge = math.ceil(0.2 * size)
    wide, high = math.ceil(room.width) + 2 * edge, math.ceil(room.ascent + room.descent) + 2 * edge
    page = Image.new("L", (wide, high))
    ImageDraw.Draw(page).text((edge, edge + room.ascent), text.words, 255, font=font, anchor="ls")

    shift = {"start": 0.0, "middle": -room.width / 2, "end": -room.width}[text.anchor]
    cosine, sine = math.cos(text.angle) * exact, math.sin(text.angle) * exact
    # From the page to the fine grid round the anchor: first the anchor to 0, 0, then the turn.
    turn = np.array([[cosine, -sine], [sine, cosine]])
    origin = np.array([edge - shift, edge + room.ascent - room.cap_height / 2])
    corners = (np.array([[0, 0], [wide, 0], [wide, high], [0, high]]) - origin) @ turn.T / _FINE
    anchor = np.array([text.x, text.y])
    left, top = np.floor(corners.min(axis=0) + anchor).astype(int) - 1
    right, bottom = np.ceil(corners.max(axis=0) + anchor).astype(int) + 1
    # OpenCV's pixels have their centres at whole numbers: half a pixel in, half a pixel out.
    move = (anchor - (left, top)) * _FINE - turn @ origin + turn @ (0.5, 0.5) - 0.5
    fine = cv2.warpAffine(
        np.asarray(page),
        np.column_stack([turn, move]),
        ((right - left) * _FINE, (bottom - top) * _FINE),
        flags=cv2.INTER_LINEAR,
    )
    cover = cv2.resize(fine, (int(right - left), int(bottom - top)), interpolation=cv2.INTER_AREA)
    return cover.astype(np.float32) / np.float32(255), int(left), int(top)


def _write(canvas: Picture, text: Text) -> None:
    letters, left, top = _letters(text)
    _blend(canvas, letters, text.colour, left, top)
