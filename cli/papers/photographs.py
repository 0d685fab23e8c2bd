"""Figures on the photograph that a model was read from: what was read, and the forces."""

from __future__ import annotations

from cli.model.file import Model
from cli.papers.content import Figure
from cli.papers.drawings import PHOTOGRAPH_SIDE, photograph_figure
from cli.sheets.layout import lay_out
from cli.sheets.names import lay_out_names
from cli.sheets.numerals import Numerals
from cli.sheets.scene import make_scene
from cli.sheets.shrink import shrunk
from cli.wording import Wording
from solver import Solution
from vision import Photo

__all__ = ["overlay_figure", "reading_figure"]


_READING = 300.0
"""Points of height of the picture with the reading: the truss to scale stands on its page too."""


def _pixels(model: Model, scale: float) -> dict[str, tuple[float, float]]:
    """Return where each joint is in a photograph made smaller; the middle of its first pixel is 0, 0."""
    return {
        joint.name: ((joint.px[0] + 0.5) * scale - 0.5, (joint.px[1] + 0.5) * scale - 0.5)
        for joint in model.joints
        if joint.px is not None
    }


def reading_figure(photo: Photo, model: Model, wording: Wording) -> Figure:
    """Return the photograph with what was read and a name at every joint."""
    rgb, scale = shrunk(photo.rgb, PHOTOGRAPH_SIDE)
    px, rows = _pixels(model, scale), model.rows
    members = [(rows[member.joints[0]], rows[member.joints[1]]) for member in model.members]
    drawing = lay_out_names(rgb, [px[name] for name in model.names], model.names, members)
    words = wording.worked
    caption = words.picture_caption.format(file=photo.path.name)
    return photograph_figure(drawing, "reading", words.picture_alt, tallest=_READING, caption=caption)


def overlay_figure(
    photo: Photo, model: Model, solution: Solution, *, wording: Wording, numerals: Numerals, alt: str
) -> Figure:
    """Return the photograph with the forces on it and their legend."""
    rgb, scale = shrunk(photo.rgb, PHOTOGRAPH_SIDE)
    scene = make_scene(
        solution.truss,
        _pixels(model, scale),
        (rgb.shape[1], rgb.shape[0]),
        forces=solution.forces.tolist(),
        senses=solution.senses,
        reactions=[(reaction.joint, reaction.fx, reaction.fy) for reaction in solution.reactions],
        numerals=numerals,
        aslant=model.view is not None,
    )
    drawing = lay_out(scene, rgb, words=wording.sheet).drawing
    return photograph_figure(drawing, "overlay", alt)
