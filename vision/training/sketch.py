"""A drawing as a list of strokes on the page, and its ink as masks in the picture."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.camera import Camera

__all__ = ["Ink", "Masks", "Sketch", "Stroke"]

FINE_WIDTH = 1600
"""Pages narrower than this (pixels) are drawn at twice the size, so that a width may be any half pixel."""
SHIFT = 4
"""Fractional bits of the coordinates handed to OpenCV: a sixteenth of a pixel."""
FAR = 30000.0
"""Pixels beyond which OpenCV's fixed-point coordinates would overflow; strokes are cut there."""


@dataclass(frozen=True)
class Ink:
    """What leaves the mark."""

    colour: tuple[int, int, int]
    """RGB."""
    opacity: float = 0.95
    """How much of the ground a full stroke hides, 0 to 1."""
    grain: float = 0.0
    """How much the tooth of the ground breaks the stroke: 0 a print, 1 chalk held flat."""
    pressure: float = 0.0
    """How much the strength swings along a stroke, 0 to 1."""


@dataclass(frozen=True, eq=False)
class Stroke:
    """One line or filled patch on the page, in units of the drawing."""

    points: NDArray[np.float64]
    """(K, 2)."""
    width: float
    """Units of the drawing; of a filled patch, the width of its outline."""
    ink: int = 0
    """Row of `Sketch.inks`."""
    part: str = "member"
    """`member`, `mark`, `text`, `other`, or `erase` (takes away what was drawn before)."""
    strength: float = 1.0
    filled: tuple[int, ...] = ()
    """Lengths of the closed contours the points fall into; empty for a line."""


@dataclass(frozen=True, eq=False)
class Masks:
    """Coverage of the picture by ink, (H, W) uint8 each."""

    by_ink: tuple[NDArray[np.uint8], ...]
    members: NDArray[np.uint8]
    text: NDArray[np.uint8]
    other: NDArray[np.uint8]
    """Everything but members and joint marks; includes text."""


@dataclass
class Sketch:
    """Strokes in the order in which they were drawn."""

    inks: list[Ink]
    strokes: list[Stroke] = field(default_factory=list)

    def line(
        self,
        points: NDArray[np.float64],
        width: float,
        *,
        ink: int = 0,
        part: str = "member",
        strength: float = 1.0,
    ) -> None:
        """Add a line through points (K, 2)."""
        self.strokes.append(Stroke(np.asarray(points, dtype=float), width, ink, part, strength))

    def patch(
        self,
        contours: list[NDArray[np.float64]],
        *,
        ink: int = 0,
        part: str = "other",
        strength: float = 1.0,
    ) -> None:
        """Add a filled patch bounded by contours (K, 2); a point inside two of them is outside."""
        lengths = tuple(len(c) for c in contours)
        self.strokes.append(Stroke(np.concatenate(contours), 0.0, ink, part, strength, lengths))

    def reach(self, part: str, start: int = 0) -> NDArray[np.float64]:
        """Return all points of one part since stroke number `start`, (K, 2)."""
        found = [s.points for s in self.strokes[start:] if s.part == part]
        return np.concatenate(found) if found else np.zeros((0, 2))

    def masks(self, camera: Camera, *, rng: np.random.Generator) -> Masks:
        """Draw everything through a camera.

        Pressure is drawn by chance along each line, hence `rng`.
        """
        times = 2 if camera.width < FINE_WIDTH else 1
        shape = (camera.height * times, camera.width * times)
        layers: dict[tuple[int, str], NDArray[np.uint8]] = {}
        if self.strokes:
            every = np.concatenate([s.points for s in self.strokes])
            pixels = camera.to_pixels(every)
            scales = camera.scale_at(np.array([s.points[len(s.points) // 2] for s in self.strokes]))
            # Pixel centres are whole numbers in both sizes.
            grid = np.clip((pixels + 0.5) * times - 0.5, -FAR, FAR)
            fixed = np.round(grid * (1 << SHIFT)).astype(np.int32)
            start = 0
            for stroke, scale in zip(self.strokes, scales, strict=True):
                piece = fixed[start : start + len(stroke.points)]
                start += len(stroke.points)
                width = max(times, round(stroke.width * float(scale) * times))
                if width > max(shape):
                    continue  # at the horizon of the sheet's plane, far outside the picture
                self._draw(layers, shape, stroke, piece, width=width, rng=rng)
        parts = {
            key: cv2.resize(mask, (camera.width, camera.height), interpolation=cv2.INTER_AREA)
            for key, mask in layers.items()
        }
        empty = np.zeros((camera.height, camera.width), np.uint8)

        def joined(keys: list[tuple[int, str]]) -> NDArray[np.uint8]:
            out = empty.copy()
            for key in keys:
                out = np.asarray(cv2.max(out, parts[key]), dtype=np.uint8)
            return out

        return Masks(
            by_ink=tuple(joined([k for k in parts if k[0] == i]) for i in range(len(self.inks))),
            members=joined([k for k in parts if k[1] == "member"]),
            text=joined([k for k in parts if k[1] == "text"]),
            other=joined([k for k in parts if k[1] in {"text", "other"}]),
        )

    def _draw(
        self,
        layers: dict[tuple[int, str], NDArray[np.uint8]],
        shape: tuple[int, int],
        stroke: Stroke,
        piece: NDArray[np.int32],
        *,
        width: int,
        rng: np.random.Generator,
    ) -> None:
        if stroke.part == "erase":
            for mask in layers.values():
                cv2.fillPoly(mask, [piece], 0, cv2.LINE_AA, SHIFT)
            return
        key = (stroke.ink, stroke.part)
        if key not in layers:
            layers[key] = np.zeros(shape, np.uint8)
        mask = layers[key]
        full = 255 * stroke.strength
        if stroke.filled:
            ends = np.cumsum(stroke.filled)
            cv2.fillPoly(mask, np.split(piece, ends[:-1]), full, cv2.LINE_AA, SHIFT)
            return
        pressure = self.inks[stroke.ink].pressure
        if pressure and len(piece) > 8:
            pieces = np.array_split(np.arange(len(piece)), max(2, len(piece) // 6))
            swing = 1 - pressure * rng.random() * np.abs(
                np.sin(rng.uniform(0, 6) + np.arange(len(pieces)) * 0.7)
            )
            for rows, part in zip(pieces, swing, strict=True):
                stop = min(rows[-1] + 2, len(piece))
                cv2.polylines(mask, [piece[rows[0] : stop]], False, full * part, width, cv2.LINE_AA, SHIFT)
            return
        cv2.polylines(mask, [piece], False, full, width, cv2.LINE_AA, SHIFT)
