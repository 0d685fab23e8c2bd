"""One picture read at several sizes and once more close up, and the reading to trust among them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from vision.agreement import same_drawing
from vision.decode import DecodeSettings, Structure, decode
from vision.maps import Box, Maps, MapSettings, look, look_mirrored
from vision.search import SearchSettings, likely_places
from vision.vote import vote

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
    """Factor on the clarity of readings close up, which see less that could be explained away."""
    enlarge: float = 4.0
    """A picture is blown up at most so many times: beyond, there is nothing more to see."""
    hidden: float = 0.08
    """Confidence below which the inked parts of the picture are looked at one by one: a drawing may hide."""
    sure_find: float = 0.4
    """Confidence that a drawing found so must have: among many places, one soon looks like a truss."""
    moved: float = 0.2
    """Part of its side by which the part with the drawing must move, grow or shrink to be looked at again."""
    rounds: int = 2
    """How often at most the part with the drawing is looked for again close up."""
    mirrored: tuple[int, ...] = (512, 768)
    """Sizes at which the mirror image is looked at too, where the last looks do not agree."""
    same_joint: float = 0.025
    """Distance within which two looks mean the same joint, as a part of the drawing's larger side."""
    favour: float = 0.5
    """What the clearest look's word counts more than others' where those looks vote on each member."""
    maps: MapSettings = field(default_factory=MapSettings)
    search: SearchSettings = field(default_factory=SearchSettings)
    decode: DecodeSettings = field(default_factory=DecodeSettings)


@dataclass(frozen=True, eq=False)
class Look:
    """One look at the picture or a part of it."""

    structure: Structure
    maps: Maps
    size: int
    """Longer side of what the network saw, pixels."""
    box: Box | None
    """The part of the picture that was looked at, or None for the whole."""

    @property
    def close(self) -> bool:
        """True where only a part of the picture was looked at."""
        return self.box is not None


@dataclass(frozen=True, eq=False)
class Sighting:
    """The clearest look, with what the looks at its part agreed on, and all of them."""

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
    return Look(decode(maps, settings=s.decode), maps, size, box)


def _mirrored(rgb: NDArray[np.uint8], like: Look, s: SizeSettings) -> Look:
    maps = look_mirrored(rgb, like.size, box=like.box, settings=s.maps)
    return Look(decode(maps, settings=s.decode), maps, like.size, like.box)


def _around(structure: Structure, rgb: NDArray[np.uint8], s: SizeSettings) -> Box:
    """Return the part of the picture with the drawing, large enough to be blown up to a close size."""
    low, high = structure.joints.min(0), structure.joints.max(0)
    margin = s.margin * float((high - low).max())
    wanted = min(s.close) / s.enlarge
    missing = max(0.0, (wanted - float((high - low).max()) - 2 * margin) / 2)
    height, width = rgb.shape[:2]
    left, top = (int(v) for v in np.maximum(low - margin - missing, 0))
    right, bottom = (int(v) for v in np.minimum(high + margin + missing + 1, (width, height)))
    return left, top, max(right, left + 1), max(bottom, top + 1)


def _side(box: Box) -> int:
    return max(box[2] - box[0], box[3] - box[1])


def _same_part(box: Box, other: Box, s: SizeSettings) -> bool:
    """Tell whether a second look would show much the same: no border lies far from the other's."""
    off = max(abs(a - b) for a, b in zip(box, other, strict=True))
    return off <= s.moved * _side(box)


def _best(looks: Sequence[Look], s: SizeSettings) -> Look:
    return max(looks, key=lambda look: look.structure.clarity * (s.trust_close if look.close else 1.0))


def _confidence(looks: Sequence[Look]) -> float:
    return max(look.structure.confidence for look in looks)


def _possible(sizes: tuple[int, ...], side: int, s: SizeSettings) -> list[int]:
    return [size for size in sizes if size <= s.enlarge * side]


def _whole(rgb: NDArray[np.uint8], s: SizeSettings) -> list[Look]:
    """Look at the whole picture, finer where it shows little."""
    longest = max(rgb.shape[:2])
    tried = [_look(rgb, size, None, s) for size in _possible(s.sizes, longest, s) or [min(s.sizes)]]
    if _confidence(tried) < s.hopeful:
        tried += [_look(rgb, size, None, s) for size in _possible(s.fine, longest, s)]
    return tried


def _inked_parts(rgb: NDArray[np.uint8], whole: list[Look], s: SizeSettings) -> list[Look]:
    """Look into the parts of the picture that hold ink, one by one."""
    size = min(s.close)
    places = likely_places(whole[-1].maps, rgb.shape, settings=s.search)
    return [_look(rgb, size, box, s) for box in places if size <= s.enlarge * _side(box)]


def _closer(rgb: NDArray[np.uint8], first: Look, s: SizeSettings) -> list[Look]:
    """Look at the part with the drawing, and again where the drawing turns out to be another part."""
    tried: list[Look] = []
    seen: list[Box] = []
    best = first
    for _ in range(s.rounds):
        box = _around(best.structure, rgb, s)
        if any(_same_part(box, other, s) for other in seen):
            break
        seen.append(box)
        looks = [_look(rgb, size, box, s) for size in _possible(s.close, _side(box), s)]
        tried += looks
        if not looks or not (best := _best(looks, s)).structure.members:
            break
    return tried


def sight(rgb: NDArray[np.uint8], *, settings: SizeSettings | None = None) -> Sighting:
    """Read a picture at several sizes, go closer to a small drawing, and keep the clearest reading.

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
    whole = _whole(rgb, s)
    searched = _inked_parts(rgb, whole, s) if _confidence(whole) < s.hidden else []
    # Clarity does not say where to go closer: joints left lying about may be the rest of the drawing.
    first = max(whole + searched, key=lambda look: look.structure.confidence)
    if not first.structure.members:
        return Sighting(first, (*whole, *searched))
    if _side(_around(first.structure, rgb, s)) < s.fills * longest:
        further = _closer(rgb, first, s)
    else:
        done = {look.size for look in whole}
        further = [_look(rgb, size, None, s) for size in _possible(s.fine, longest, s) if size not in done]
    tried = [*whole, *searched, *further]
    more = _once_more(rgb, [*whole, *further], s)
    tried += more
    best = _best(tried, s)
    if searched and best.structure.confidence < s.sure_find:
        best = _best(whole, s)
    if more and best.box == more[0].box and best.structure.members:
        looks = [look.structure for look in tried if look.box == best.box]
        best = replace(best, structure=vote(looks, within=s.same_joint, favour=s.favour))
    return Sighting(best, tuple(tried))


def _once_more(rgb: NDArray[np.uint8], looks: list[Look], s: SizeSettings) -> list[Look]:
    """Look at the mirror image of the part looked at last, unless all looks at it read the same."""
    last = [look for look in looks if look.box == looks[-1].box]
    first, *others = (look.structure for look in last)
    if others and all(same_drawing(first, other, within=s.same_joint) for other in others):
        return []
    return [_mirrored(rgb, look, s) for look in last if look.size in s.mirrored]
