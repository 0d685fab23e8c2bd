"""One picture read at several sizes, and the reading to trust among them."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from vision.decode import DecodeSettings, Structure, decode
from vision.maps import Maps, MapSettings, look

__all__ = ["Sighting", "SizeSettings", "sight"]


@dataclass(frozen=True)
class SizeSettings:
    """At which sizes a picture is read."""

    sizes: tuple[int, ...] = (512, 768, 1024)
    """Longer side of what the network sees, pixels. Large circles read better small, fine lattices large."""
    enlarge: float = 4.0
    """A picture is blown up at most so many times: beyond, there is nothing more to see."""
    maps: MapSettings = field(default_factory=MapSettings)
    decode: DecodeSettings = field(default_factory=DecodeSettings)


@dataclass(frozen=True, eq=False)
class Sighting:
    """The most confident structure and the maps it was read from."""

    structure: Structure
    maps: Maps
    size: int
    """Longer side the network saw, pixels."""
    tried: tuple[tuple[int, Structure], ...]
    """Every size with what was read at it."""


def sight(rgb: NDArray[np.uint8], *, settings: SizeSettings | None = None) -> Sighting:
    """Read a picture at several sizes and keep the most confident reading.

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
    sizes = [size for size in s.sizes if size <= s.enlarge * longest] or [min(s.sizes)]
    best: tuple[float, int, Structure, Maps] | None = None
    tried = []
    for size in sizes:
        maps = look(rgb, size, settings=s.maps)
        structure = decode(maps, settings=s.decode)
        tried.append((size, structure))
        if best is None or structure.confidence > best[0]:
            best = (structure.confidence, size, structure, maps)
    assert best is not None
    return Sighting(best[2], best[3], best[1], tuple(tried))
