"""A cheap maker of wildly varied pictures: what carries over to photographs is variety, not finish.

Graphs of circled nodes, plain trusses, models of rods in one or two planes, clutter, and pictures without any
structure. Seeded; labels exact to the sub-pixel. The elaborate maker is
`vision.training.make_page`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.photos import Album
from vision.training.wild.boards import board, dusted, half_wiped, smeared
from vision.training.wild.clutter import blobs, clutter, litter, written_over
from vision.training.wild.decoys import decoy
from vision.training.wild.drawings import draw_structure
from vision.training.wild.grounds import framed, ground, ink_colour, photographed_ground
from vision.training.wild.layout import choose_box, lay_out
from vision.training.wild.light import lit
from vision.training.wild.marks import Marks
from vision.training.wild.papers import paper
from vision.training.wild.picture import LabelledPicture
from vision.training.wild.rods import draw_empty, draw_model
from vision.training.wild.screens import screen
from vision.training.wild.spoils import blown_up, creased, shine_through
from vision.training.wild.strokes import Hand, Pen, rough_ink
from vision.training.writing import choose_lettering

__all__ = ["FOR_TRAINING", "PLAIN", "LabelledPicture", "Mix", "make_wild"]

Rng = np.random.Generator
Image = NDArray[np.uint8]

_PICTURE_KINDS = ("drawing", "model", "nothing")
_PHOTOGRAPHED = {"drawing": 0.18, "model": 0.45, "nothing": 0.5}
"""Part of each kind that a photograph stands behind, where photographs were fetched and are asked for."""


@dataclass(frozen=True)
class Mix:
    """What wild pictures are made of."""

    chances: tuple[float, float, float]
    """Of a drawing, a model, and nothing."""
    decoys: float
    """Chance that a picture of nothing shows something that may be taken for a truss."""
    photographs: bool
    """Whether photographs stand behind some, if they were fetched."""


_TWO_PLANES = 1.8
"""Members of two planes lie so many times closer together than those of one."""
PLAIN = Mix((0.6, 0.32, 0.08), 0.0, photographs=False)
"""Made pictures alone: the same whether photographs were fetched or not."""
FOR_TRAINING = Mix((0.52, 0.33, 0.15), 0.65, photographs=True)
"""What the network is trained on."""


def _hand(rng: Rng, size: float) -> Hand:
    width = float(np.clip(size * np.exp(rng.uniform(np.log(0.0018), np.log(0.014))), 1, 12))
    if rng.random() < 0.25:
        return Hand(width, 0.0, 0.0, 0.0)
    broken = rng.uniform(0.1, 0.6) if rng.random() < 0.18 else 0.0
    if broken:
        width = max(width, 3.0)
    return Hand(
        width,
        rng.uniform(0.0015, 0.012),
        rng.choice([0.0, 0.1, 0.5]),
        rng.choice([0.0, 0.0, 0.08, 0.25]),
        broken=broken,
    )


def _of_a_person(rng: Rng, hand: Hand) -> Hand:
    """Let what draws by hand press unevenly now and then, and mostly write by hand too."""
    if hand.wobble == 0:
        return hand
    lettering = choose_lettering(rng, printed=False, fonts=True) if rng.random() < 0.7 else None
    return replace(hand, taper=rng.uniform(0.3, 1.0) if rng.random() < 0.45 else 0.0, lettering=lettering)


def _stack(pieces: list[NDArray[np.float64]], columns: int) -> NDArray[np.float32]:
    rows = [np.asarray(p, np.float32).reshape(-1, columns) for p in pieces]
    return np.concatenate(rows) if rows else np.zeros((0, columns), np.float32)


def _with_back(rng: Rng, picture: Image, hand: Hand) -> Image:
    """Draw on the back of the sheet; its truth is no part of the picture's."""
    back = picture.copy()
    pen = Pen(rng, back, ink_colour(rng, back), hand)
    clutter(pen, int(rng.integers(1, 4)))
    if rng.random() < 0.5:
        draw_structure(pen, choose_box(rng, *picture.shape[:2]), Marks())
    return np.ascontiguousarray(shine_through(rng, picture, back))


def _with_ghost(rng: Rng, picture: Image, hand: Hand, colour: tuple[float, float, float]) -> Image:
    """Leave an older drawing half wiped away on the ground; it is no truss any more."""
    before = picture.copy()
    pen = Pen(rng, before, colour, hand)
    if rng.random() < 0.5:
        clutter(pen, int(rng.integers(1, 4)))
    if rng.random() < 0.8:
        draw_structure(pen, choose_box(rng, *picture.shape[:2]), Marks())
    return np.ascontiguousarray(half_wiped(rng, before, picture))


def _drawing_ground(rng: Rng, height: int, width: int) -> Image:
    """Lay what people draw on: boards, printed papers and screens beside all other grounds."""
    kind = rng.random()
    if kind < 0.2:
        return board(rng, height, width)
    if kind < 0.38:
        return paper(rng, height, width)
    if kind < 0.45:
        return screen(rng, height, width)
    return ground(rng, height, width)


def _faint(rng: Rng, picture: Image, colour: tuple[float, float, float]) -> tuple[float, float, float]:
    """Make an ink as faint as a hard pencil's: 22 to 58 grey levels from the ground."""
    base = picture[::32, ::32].reshape(-1, 3).mean(0)
    apart = np.array(colour) - base
    part = min(1.0, rng.uniform(22, 58) / max(float(np.abs(apart).mean()), 1.0))
    r, g, b = (base + part * apart).tolist()
    return float(r), float(g), float(b)


def _spoilt(rng: Rng, picture: Image, bare: Image, *, grainy: bool) -> Image:
    """Wear the ink as the tool and a sleeve would, lay something on it, and light it."""
    if grainy and rng.random() < 0.55:
        picture = rough_ink(rng, picture, bare, rng.uniform(0.2, 0.9))
    if rng.random() < 0.1:
        picture = np.ascontiguousarray(smeared(rng, picture, bare))
    if rng.random() < 0.08:
        picture = np.ascontiguousarray(dusted(rng, picture))
    if rng.random() < 0.04:
        blobs(rng, picture, 1)
    if rng.random() < 0.15:
        picture = lit(rng, picture)
    return np.ascontiguousarray(picture)


def _drawing(rng: Rng, picture: Image, marks: Marks, album: Album) -> Image:
    hand = _of_a_person(rng, _hand(rng, max(picture.shape[:2])))
    if rng.random() < 0.22:
        picture = _with_back(rng, picture, hand)
    if rng.random() < 0.32:
        picture = np.ascontiguousarray(creased(rng, picture))
    colour, faint = ink_colour(rng, picture), False
    if rng.random() < 0.14:
        picture = _with_ghost(rng, picture, hand, colour if rng.random() < 0.7 else ink_colour(rng, picture))
    elif faint := rng.random() < 0.08:
        colour = _faint(rng, picture, colour)
    frame = (0.0, 0.0, float(picture.shape[1]), float(picture.shape[0]))
    if album.chance(0.6 * _PHOTOGRAPHED["drawing"]):
        picture, frame = framed(album, picture)
    bare = picture.copy()
    pen = Pen(rng, picture, colour, hand)
    count = int(rng.choice([0, 0, 1, 2, 4]))
    if rng.random() < 0.5:
        marks.other += clutter(pen, count)
    lay_out(rng, pen, marks, frame)
    if rng.random() < 0.15:
        marks.other += written_over(pen)
    return _spoilt(rng, picture, bare, grainy=hand.wobble > 0 and not faint)


def _model(rng: Rng, picture: Image, marks: Marks, *, kept: bool) -> Image:
    height, width = picture.shape[:2]
    if rng.random() < 0.4:
        blobs(rng, picture, int(rng.integers(1, 4)))
    if rng.random() < 0.35:
        litter(rng, picture)
    hand = Hand(rng.uniform(1, 5), 0.0, 0.0, 0.0)
    if rng.random() < 0.4:
        marks.other += clutter(Pen(rng, picture, ink_colour(rng, picture), hand), int(rng.integers(1, 3)))
    draw_model(rng, picture, choose_box(rng, height, width), marks, kept=kept)
    return lit(rng, picture) if rng.random() < 0.12 else picture


def _nothing(rng: Rng, picture: Image, marks: Marks, mix: Mix, album: Album) -> Image:
    height, width = picture.shape[:2]
    hand = _hand(rng, max(height, width))
    if album.chance(_PHOTOGRAPHED["nothing"]):
        way = str(album.rng.choice(["alone", "drawn on", "pinned up", "around the sheet"]))
        if way == "pinned up":
            return framed(album, album.view(height, width, surfaces=0.1, soft=0.1))[0]
        if way == "around the sheet":
            picture = framed(album, picture)[0]
        else:
            picture = photographed_ground(album, height, width)
        if way == "alone":
            return picture
    if mix.decoys > 0 and rng.random() < mix.decoys:
        pen = Pen(rng, picture, ink_colour(rng, picture), hand)
        decoy(pen, choose_box(rng, height, width), marks)
        if rng.random() < 0.25:
            decoy(pen, choose_box(rng, height, width), marks)
        if rng.random() < 0.4:
            marks.other += clutter(pen, int(rng.integers(1, 3)))
        return picture
    if rng.random() < 0.25:
        draw_empty(rng, picture, choose_box(rng, *picture.shape[:2]))
        return picture
    if rng.random() < 0.5:
        blobs(rng, picture, int(rng.integers(1, 5)))
    marks.other += clutter(Pen(rng, picture, ink_colour(rng, picture), hand), int(rng.integers(1, 7)))
    return picture


def _finest(marks: Marks) -> float:
    """Return the lower quartile of the members' lengths, pixels; large where there are none."""
    if not marks.members:
        return 1e9
    at = np.array(marks.joints)
    ends = np.array(marks.members)
    return float(np.quantile(np.hypot(*(at[ends[:, 0]] - at[ends[:, 1]]).T), 0.25))


def _laid(rng: Rng, kind: str, height: int, width: int, album: Album) -> tuple[Image, bool]:
    """Lay what is drawn on or stands behind; say whether it is a photograph to be kept."""
    if kind == "model" and album.chance(_PHOTOGRAPHED["model"]):
        return photographed_ground(album, height, width), True
    if kind == "drawing" and album.chance(0.4 * _PHOTOGRAPHED["drawing"]):
        return album.faded(height, width), True
    lay = _drawing_ground if kind == "drawing" else partial(ground, scene=kind == "model")
    return np.ascontiguousarray(lay(rng, height, width)), False


def make_wild(seed: int, *, longest: int = 896, mix: Mix = PLAIN) -> LabelledPicture:
    """Make one wild picture.

    Parameters
    ----------
    seed : int
        The same seed gives the same picture.
    longest : int
        Longer side in pixels.
    mix : Mix
        What is made, and how often.

    Returns
    -------
    LabelledPicture
        The picture and its truth.
    """
    rng = np.random.default_rng([seed, 20_240])
    short = int(longest * rng.choice([0.56, 0.67, 0.75, 1.0]))
    height, width = (short, longest) if rng.random() < 0.72 else (longest, short)
    kind = str(rng.choice(_PICTURE_KINDS, p=mix.chances))
    album = Album(seed, open_=mix.photographs)
    picture, kept = _laid(rng, kind, height, width, album)
    marks = Marks()
    if kind == "drawing":
        picture = _drawing(rng, picture, marks, album)
    elif kind == "model":
        picture = _model(rng, picture, marks, kept=kept)
    else:
        picture = _nothing(rng, picture, marks, mix, album)
    if rng.random() < (0.14 if kind == "drawing" else 0.07):
        picture = blown_up(rng, picture, finest=_finest(marks) / (_TWO_PLANES if marks.far_lines else 1.0))
    if rng.random() < 0.1:
        picture = np.repeat(np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)[..., None], 3, 2)
    return LabelledPicture(
        rgb=np.ascontiguousarray(picture),
        joints=_stack(list(marks.joints), 2),
        members=tuple(marks.members),
        lines=_stack(marks.lines, 4),
        far_lines=_stack(marks.far_lines, 4),
        pins=_stack(marks.pins, 2),
        rollers=_stack(marks.rollers, 2),
        arrows=_stack(marks.arrows, 4),
        other=np.stack(marks.other).astype(np.float32) if marks.other else np.zeros((0, 4, 2), np.float32),
        upright=bool(marks.far_lines),
    )
