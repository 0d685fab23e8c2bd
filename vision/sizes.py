"""One picture read at several sizes and once more close up, and the reading to trust among them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from vision.decode import DecodeSettings, Structure, decode
from vision.maps import Box, Maps, MapSettings, look

__all__ = ["Look", "Sighting", "SizeSettings", "sight"]


@dataclass(frozen=True)
class SizeSettings:
    """At which sizes a picture is read."""

    sizes: tuple[int, ...] = (512, 768)
    """Longer side of what the network sees of the whole picture, pixels. Large circles read better small,
    fine lattices large."""
    fine: tuple[int, ...] = (1024,)
    """Further sizes of the whole picture, where the drawing fills it or is too small to be seen."""
    close: tuple[int, ...] = (512, 768)
    """Sizes of the part with the drawing, where it is only a part."""
    hopeful: float = 0.45
    """Confidence below which a finer look at the whole picture comes first: the drawing may be tiny."""
    fills: float = 0.9
    """Part of the picture's longer side from which a drawing fills it."""
    margin: float = 0.16
    """What is seen around a drawing close up, as a part of its longer side: supports and loads."""
    trust_close: float = 1.3
    """Factor on the confidence of readings close up, which see less that could be explained away."""
    enlarge: float = 4.0
    """A picture is blown up at most so many times: beyond, there is nothing more to see."""
    maps: MapSettings = field(default_factory=MapSettings)
    decode: DecodeSettings = field(default_factory=DecodeSettings)


@dataclass(frozen=True, eq=False)
class Look:
    """One look at the picture or a part of it."""

    structure: Structure
    maps: Maps
    size: int
    """Longer side of what the network saw, pixels."""
    close: bool
    """True where only the part with the drawing was looked at."""


@dataclass(frozen=True, eq=False)
class Sighting:
    """The most confident look, and all of them."""

    best: Look
    tried: tuple[Look, ...]

    @property
    def structure(self) -> Structure:
        """What was read."""
        return self.best.structure

    @property
    def maps(self) -> Maps:
        """The maps it was read from."""
        return self.best.maps


def _look(rgb: NDArray[np.uint8], size: int, box: Box | None, s: SizeSettings) -> Look:
    maps = look(rgb, size, box=box, settings=s.maps)
    return Look(decode(maps, settings=s.decode), maps, size, box is not None)


def _around(structure: Structure, rgb: NDArray[np.uint8], s: SizeSettings) -> Box:
    """Return the part of the picture with the drawing."""
    low, high = structure.joints.min(0), structure.joints.max(0)
    margin = s.margin * float((high - low).max())
    height, width = rgb.shape[:2]
    left, top = (int(v) for v in np.maximum(low - margin, 0))
    right, bottom = (int(v) for v in np.minimum(high + margin + 1, (width, height)))
    return left, top, max(right, left + 1), max(bottom, top + 1)


def sight(rgb: NDArray[np.uint8], *, settings: SizeSettings | None = None) -> Sighting:
    """Read a picture at several sizes, go closer to a small drawing, and keep the most confident reading.

    Parameters
    ----------
    rgb : (H, W, 3) uint8
        The upright picture.
    settings : SizeSettings, optional

    Returns
    -------
    Sighting
    """
    s = settings or SizeSettings()
    longest = max(rgb.shape[:2])

    def possible(sizes: tuple[int, ...], side: int) -> list[int]:
        return [size for size in sizes if size <= s.enlarge * side]

    tried = [_look(rgb, size, None, s) for size in possible(s.sizes, longest) or [min(s.sizes)]]
    first = max(tried, key=lambda look: look.structure.confidence)
    finer = possible(s.fine, longest)
    if first.structure.confidence < s.hopeful:
        tried += [_look(rgb, size, None, s) for size in finer]
        finer = []
        first = max(tried, key=lambda look: look.structure.confidence)
    if not first.structure.members:
        return Sighting(first, tuple(tried))
    box = _around(first.structure, rgb, s)
    side = max(box[2] - box[0], box[3] - box[1])
    if side >= s.fills * longest:
        tried += [_look(rgb, size, None, s) for size in finer]
    else:
        tried += [_look(rgb, size, box, s) for size in possible(s.close, side)]
    best = max(tried, key=lambda look: look.structure.confidence * (s.trust_close if look.close else 1.0))
    return Sighting(best, tuple(tried))
