"""What is written over the picture of a model: names, loads, supports and lengths, on a screen or a print."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from vision.training.annotation import draw_measures, write_names
from vision.training.camera import Camera
from vision.training.draughtsman import Draughtsman, DrawnScene, Style
from vision.training.drawn import develop
from vision.training.paint import Photo, Points
from vision.training.pens import choose_hand
from vision.training.scene import Scene, random_scene
from vision.training.shape import Shape
from vision.training.sketch import Ink, Masks, Sketch
from vision.training.symbols import draw_loads, draw_supports
from vision.training.writing import choose_lettering

__all__ = ["Notes", "write_over"]

Notes = tuple[Scene, DrawnScene, Masks]
"""What was written, where it lies in units of the model, and its ink in the picture."""

_INKS = ((215, 30, 40), (20, 20, 24), (250, 250, 250), (30, 90, 210), (250, 210, 40), (20, 140, 70))
"""Colours that people mark pictures in."""


def _style(rng: np.random.Generator, mark_radius: float, *, fonts: bool) -> Style:
    width = float(rng.uniform(0.003, 0.011))
    return Style(
        hand=choose_hand(rng, width, ruler=rng.random() < 0.5),
        lettering=choose_lettering(rng, printed=rng.random() < 0.5, fonts=fonts),
        mark="circle",
        mark_radius=mark_radius,
        letter_height=float(rng.uniform(0.03, 0.06)),
        support=float(rng.uniform(0.05, 0.11)),
        arrow=float(rng.uniform(0.12, 0.28)),
        solid=rng.random() < 0.5,
    )


def write_over(
    photo: Photo,
    camera: Camera,
    shape: Shape,
    *,
    mark_radius: float,
    fonts: bool,
    rng: np.random.Generator,
) -> Notes:
    """Write over a model's picture, in place, and return what was written and where.

    Parameters
    ----------
    shape
        The truss in the plane z = 0 of the camera.
    mark_radius
        Of what holds the members at a joint, units of the model; symbols begin at its rim.
    """
    scene = random_scene(rng, shape, busy=float(rng.uniform(0.3, 1.0)), clutter=0.0)
    if rng.random() < 0.35:
        scene = replace(scene, shape=replace(shape, rests=()))
    if rng.random() < 0.25:
        scene = replace(scene, shape=replace(scene.shape, pulls=()), load_texts=())
    style = _style(rng, mark_radius, fonts=fonts)
    r, g, b = _INKS[int(rng.integers(len(_INKS)))]
    inks = (Ink((r, g, b), opacity=float(rng.uniform(0.85, 1.0))),)
    sketch = Sketch(list(inks))
    pad = Draughtsman(sketch, scene, style, rng)
    pad.radii[:] = mark_radius
    ends = scene.shape.joints * [1, -1]
    along = np.linspace(0, 1, 12)[:, None]
    middles: list[Points] = [ends[a] + (ends[b] - ends[a]) * along for a, b in shape.members]
    pad.samples = np.concatenate(middles)
    draw_supports(pad)
    draw_loads(pad)
    if rng.random() < 0.8:
        write_names(pad)
    if rng.random() < 0.6:
        draw_measures(pad)
    masks = sketch.masks(camera, rng=rng)
    photo[:] = np.clip(develop(photo.astype(np.float32), masks, inks, rng=rng), 0, 255).astype(np.uint8)
    return scene, pad.out, masks
