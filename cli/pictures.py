"""Photographs of models: open the one that a model was read from, draw names or forces on it."""

from __future__ import annotations

import io
from pathlib import Path

from cli.cautions import caution_text
from cli.errors import FaultsError, PictureChangedError, PictureMissingError, UnknownSuffixError
from cli.job import Solved, solve_model
from cli.model.file import Model
from cli.outputs import STANDARD_OUTPUT
from cli.progress import busy
from cli.sheets.layout import lay_out
from cli.sheets.marks import Drawing
from cli.sheets.names import lay_out_names
from cli.sheets.overlay import KINDS, encode, write_overlay
from cli.sheets.scene import Scene, make_scene
from cli.strength.picture import moves_scene, used_scene
from cli.strength.report import StrengthAnswer
from cli.translate.from_reading import picture_path
from vision import Photo, load_photo

__all__ = [
    "forces_drawing",
    "kind_of",
    "names_drawing",
    "names_png",
    "open_picture",
    "overlay_bytes",
    "strength_bytes",
]


def open_picture(model: Model, model_path: Path) -> tuple[Photo, tuple[str, ...]]:
    """Load the picture that a model was read from.

    Returns
    -------
    photo, remarks
        The upright picture, and a warning when it is not the same file as when it was read.

    Raises
    ------
    PictureMissingError
        When the model has no picture, or it is not there.
    PictureChangedError
        When it has another size than when it was read.
    PhotoError
        When it cannot be read any more.
    """
    path = picture_path(model, model_path.parent)
    if path is None or not path.is_file():
        raise PictureMissingError(model_path, path)
    assert model.picture is not None
    with busy(f"Opening {path.name}"):
        photo = load_photo(path)
    if (photo.width, photo.height) != (model.picture.width, model.picture.height):
        raise PictureChangedError(
            path, (model.picture.width, model.picture.height), (photo.width, photo.height)
        )
    if photo.sha256 != model.picture.sha256:
        changed = (
            f"{path} is not the file that was read: it has changed since. Check that the joints still fit it."
        )
        return photo, (changed,)
    return photo, ()


def names_png(photo: Photo, model: Model) -> bytes:
    """Return the photograph with members and the joints' names drawn on it, as a PNG file."""
    with busy("Drawing the names"):
        return encode(names_drawing(photo, model), "png")


def names_drawing(photo: Photo, model: Model) -> Drawing:
    """Return the photograph with members and the joints' names on it, before it is painted."""
    rows = model.rows
    px = _px(model)
    members = [(rows[member.joints[0]], rows[member.joints[1]]) for member in model.members]
    return lay_out_names(photo.rgb, [px[name] for name in model.names], model.names, members)


def forces_drawing(photo: Photo, solved: Solved) -> Drawing:
    """Return the forces on the photograph, before they are painted."""
    return lay_out(_scene(photo, solved), photo.rgb).drawing


def overlay_bytes(photo: Photo, solved: Solved, kind: str) -> bytes:
    """Return the forces on the photograph as the bytes of a file.

    Parameters
    ----------
    photo
        The picture that the model was read from.
    solved
        The model and its answer.
    kind
        `png`, `jpg`, `svg` or `pdf`.
    """
    return _drawn(photo, _scene(photo, solved), kind, "Drawing the forces")


def strength_bytes(photo: Photo, model: Model, answer: StrengthAnswer, kind: str, *, show: str) -> bytes:
    """Return what is used of each member's strength, or which way to move joints, on the photograph.

    Parameters
    ----------
    photo
        The picture that the model was read from.
    model
        The model.
    answer
        What `strength_of` says of it.
    kind
        `png`, `jpg`, `svg` or `pdf`.
    show
        `used` or `moves`.

    Raises
    ------
    NoGainError
        When there is no move to show.
    """
    scene_of = {"used": used_scene, "moves": moves_scene}[show]
    solution = answer.standing.demand.solution
    senses = solve_model(model).solution.senses if answer.standing.demand.determinate else solution.senses
    scene = scene_of(
        answer,
        _px(model),
        (photo.width, photo.height),
        senses=senses,
        aslant=model.view is not None,
    )
    return _drawn(photo, scene, kind, "Drawing the strength")


def _drawn(photo: Photo, scene: Scene, kind: str, doing: str) -> bytes:
    file = io.BytesIO()
    with busy(doing):
        write_overlay(scene, photo.rgb, file, kind)
    return file.getvalue()


def _px(model: Model) -> dict[str, tuple[float, float]]:
    """Return where each joint is in the picture."""
    lost = [
        f'joints[{row}]: joint {joint.name} has no "px": give its place in the picture, "px": [x, y].'
        for row, joint in enumerate(model.joints)
        if joint.px is None
    ]
    if lost:
        raise FaultsError(tuple(lost))
    return {joint.name: joint.px for joint in model.joints if joint.px is not None}


def _scene(photo: Photo, solved: Solved) -> Scene:
    solution = solved.solution
    return make_scene(
        solution.truss,
        _px(solved.model),
        (photo.width, photo.height),
        forces=solution.forces.tolist(),
        senses=solution.senses,
        reactions=[(reaction.joint, reaction.fx, reaction.fy) for reaction in solution.reactions],
        title=solved.model.title or "",
        caution=caution_text(),
        aslant=solved.model.view is not None,
    )


def kind_of(output: Path) -> str:
    """Return what kind of picture an output is by its suffix; standard output gets a PNG.

    Raises
    ------
    UnknownSuffixError
        When the suffix names none of the kinds.
    """
    if output == STANDARD_OUTPUT:
        return "png"
    kind = output.suffix.removeprefix(".").lower().replace("jpeg", "jpg")
    if kind not in KINDS:
        raise UnknownSuffixError(output, tuple(f".{known}" for known in KINDS))
    return kind
