"""A model's picture while it is painted: bars and joints in space, shadows, what hangs and lies about."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np

from vision.training.camera import Camera
from vision.training.connectors import paint_joint
from vision.training.page import OtherDrawing
from vision.training.paint import Colour, Photo, Points, paint_line, paint_patch
from vision.training.planes import thrice
from vision.training.props import paint_prop
from vision.training.sticks import Material, paint_stick

__all__ = ["Bars", "Stage", "bars_of"]

STEPS = np.linspace(0, 1, 9)[:, None]
"""Where a member's middle is followed through the lens."""


@dataclass(frozen=True, eq=False)
class Bars:
    """Bars in space: joints (N, 3) and pairs of rows."""

    joints: Points
    pairs: tuple[tuple[int, int], ...]
    sag: Points
    """(M,) of each bar, in parts of its length, positive downwards."""

    def line(self, row: int) -> Points:
        """Return the middle of a bar, (9, 3)."""
        a, b = self.joints[list(self.pairs[row])]
        line: Points = a + (b - a) * STEPS
        line[:, 1] += (4 * STEPS * (1 - STEPS))[:, 0] * self.sag[row] * float(np.linalg.norm(b - a))
        return line


@dataclass
class Stage:
    """The picture while it is painted."""

    photo: Photo
    camera: Camera
    material: Material
    rng: np.random.Generator
    light: float
    others: list[OtherDrawing] = field(default_factory=list)

    def bars(self, bars: Bars, material: Material) -> None:
        """Paint bars, in any order, as they may lie over one another."""
        by_length = len(material.colours) > 1 and self.rng.random() < 0.4
        for k in self.rng.permutation(len(bars.pairs)).tolist():
            line = bars.line(k)
            length = float(np.linalg.norm(line[-1] - line[0]))
            past = (line[-1] - line[0]) / max(length, 1e-9) * material.overlap
            line[0] -= past
            line[-1] += past
            colour: Colour | None = None
            if by_length:
                colour = material.colours[int(length * 7) % len(material.colours)]
            half = self.camera.scale_at(line) * material.width / 2
            pixels = self.camera.to_pixels(line)
            paint_stick(self.photo, pixels, half, material, rng=self.rng, light=self.light, colour=colour)

    def joints(self, joints: Points) -> None:
        """Paint what holds the members together."""
        for joint in joints:
            centre = self.camera.to_pixels(joint)
            right = (self.camera.to_pixels(joint + np.array([0.01, 0, 0])) - centre) / 0.01
            down = (self.camera.to_pixels(joint + np.array([0, 0.01, 0])) - centre) / 0.01
            flat = np.stack([right, down])
            paint_joint(self.photo, flat, centre, self.material, rng=self.rng, light=self.light)

    def shadow(self, bars: list[Bars], drop: Points) -> None:
        """Darken what lies behind the bars by their shadow, moved by `drop` (3,) in the model's space."""
        mask = np.zeros(self.photo.shape[:2], np.uint8)
        for one in bars:
            for k in range(len(one.pairs)):
                line = one.line(k)[[0, 4, 8]] + drop
                wide = round(self.material.width * float(self.camera.scale_at(line[1])))
                paint_line(mask, self.camera.to_pixels(line), (255, 255, 255), min(wide, 200))
        soft = cv2.GaussianBlur(mask, (0, 0), max(0.8, self.camera.width / 1000 * self.rng.uniform(0.8, 8)))
        depth = self.rng.uniform(0.15, 0.6)
        dark = thrice(np.asarray(1 - np.asarray(soft, np.float32) * np.float32(depth / 255), np.float32))
        self.photo[:] = (self.photo * dark).astype(np.uint8)

    def hang(self, at: Points) -> None:
        """Hang a weight on a string from a joint (3,)."""
        rng = self.rng
        down, half, tall = rng.uniform(0.06, 0.25), rng.uniform(0.02, 0.07), rng.uniform(0.05, 0.12)
        string = self.camera.to_pixels(np.stack([at, at + np.array([0, down, 0])]))
        paint_line(self.photo, string, (70, 66, 60), self.camera.width // 800)
        corners = [
            [-half, down, 0],
            [half, down, 0],
            [half * 0.85, down + tall, 0],
            [-half * 0.85, down + tall, 0],
        ]
        r, g, b = rng.uniform(30, 230, 3).tolist()
        paint_patch(self.photo, self.camera.to_pixels(at + np.array(corners)), (r, g, b))

    def props(self, most: int) -> None:
        """Lay things about, near the frame's edges."""
        height, width = self.photo.shape[:2]
        for _ in range(int(self.rng.integers(0, most + 1))):
            x, y = self.rng.uniform(-0.05, 1.05, 2)
            if self.rng.random() < 0.5:
                x = float(self.rng.choice([0.03, 0.97]))
            else:
                y = float(self.rng.choice([0.03, 0.97]))
            size = self.rng.uniform(0.15, 0.4) * max(width, height)
            paint_prop(self.photo, rng=self.rng, spot=(x * width, y * height), size=size)


def bars_of(joints: Points, pairs: tuple[tuple[int, int], ...], bow: float, rng: np.random.Generator) -> Bars:
    """Give each bar its own sag, normal with standard deviation `bow`."""
    return Bars(joints, pairs, rng.normal(0, 1, len(pairs)) * bow)
