"""The work on one photograph: read, solve where possible, draw what was found.

Runs in a worker process. Whatever is wrong with the photograph or its model file becomes a sentence of its
`Outcome`; nothing is written here.
"""

from __future__ import annotations

import base64
import os
import platform
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import cv2

from cli.drawing_check.check import check_drawing
from cli.drawing_check.picture import draw_check
from cli.drawing_check.second_look import second_look
from cli.drawing_check.slips import VERDICTS
from cli.errors import CliError, FaultsError, ModelFileError, NewerVersionError, PictureChangedError
from cli.job import Solved, solve_model
from cli.messages import sentence
from cli.model.file import Model, loads
from cli.photo_to_model import UNITS_BEFORE_ANSWERS
from cli.pictures import forces_drawing, names_drawing
from cli.pile.errors import OtherProgramError
from cli.pile.kept_pictures import (
    DRAWING_QUALITY,
    DRAWING_SIDE,
    THUMBNAIL_QUALITY,
    THUMBNAIL_SIDE,
    for_keeping,
    jpeg,
    with_blank_margins,
    without_strip,
)
from cli.pile.outcome import FILE, TYPED, Outcome, State
from cli.pile.task import Done, Task, program_sha256
from cli.reading_words import reading_remarks
from cli.sheets.marks import Drawing
from cli.sheets.numerals import Numerals
from cli.sheets.raster import paint
from cli.sheets.shrink import shrunk
from cli.translate.from_reading import model_of
from solver import NoUniqueSolutionError, Solution, TrussError
from solver.errors import SolverError
from vision import (
    NoTrussError,
    Photo,
    PhotoError,
    ReadSettings,
    SurveyError,
    VisionError,
    load_photo,
    read_photo,
)
from vision.errors import MissingPhotoError
from vision.maps import MapSettings
from vision.sizes import SizeSettings

__all__ = ["do_sheet"]

ONE_THREAD = ReadSettings(sizes=SizeSettings(maps=MapSettings(threads=1)))
"""Each worker keeps to one core: many share the machine, and sums come out the same with any number."""
NUMERALS = Numerals(figures=4)


@dataclass(frozen=True, eq=False)
class _Found:
    """What is told about a photograph, before its pictures are made small."""

    state: State
    says: tuple[str, ...]
    doubts: tuple[str, ...] = ()
    model: Model | None = None
    drawing: Drawing | None = None
    """On the shrunk photograph."""
    alt: str = ""


def do_sheet(task: Task) -> Done:
    """Do the work on one photograph.

    Parameters
    ----------
    task
        The photograph and what its result depends on.

    Returns
    -------
    Done
        Also when something is wrong with the photograph.

    Raises
    ------
    MissingPhotoError, OSError
        When the photograph cannot be reached: that is no property of it, and may be better next time.
    OtherProgramError
        When this worker runs another panelpoint than the one that made the task.
    """
    if task.program != program_sha256():
        raise OtherProgramError(platform.node())
    cv2.setNumThreads(1)
    with _local(task) as path:
        try:
            photo = load_photo(path)
        except MissingPhotoError:
            raise
        except PhotoError as error:
            return Done(Outcome(key=task.key, state="unreadable", says=(_nameless(error, path),)))
    if photo.sha256 != task.sha256:
        raise OSError(f"{task.path.name} was changed while the pile was worked on; start again.")
    try:
        found = _found(task, photo)
    except (CliError, SolverError, VisionError) as error:
        found = _Found("not solved", (_nameless(error, path),))
    return _done(task, photo, found)


@contextmanager
def _local(task: Task) -> Iterator[Path]:
    """Give the photograph a path on this computer."""
    if task.content is None:
        yield task.path
        return
    handle, name = tempfile.mkstemp(prefix="panelpoint-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(task.content)
        yield Path(name)
    finally:
        Path(name).unlink(missing_ok=True)


def _nameless(error: BaseException, path: Path) -> str:
    return sentence(error).replace(str(path), FILE)


def _found(task: Task, photo: Photo) -> _Found:
    if task.model is not None:
        return _with_model(task, photo, task.model)
    try:
        reading = read_photo(photo, settings=ONE_THREAD)
    except NoTrussError as error:
        return _Found(
            "no truss", (_nameless(error, photo.path),), alt="Photograph in which no truss was found"
        )
    model = model_of(reading, photo, model_folder=photo.path.parent, units=UNITS_BEFORE_ANSWERS)
    if task.settings.blank_margins:
        photo = with_blank_margins(photo, model)
    if task.truss is not None:
        return _checked(photo, loads(Path("key.truss.json"), task.truss), model)
    if task.settings.trust:
        return replace(_solved(model, photo), doubts=reading_remarks(model, reading.remarks))
    needed = (
        f"{_counted(model)} read. To solve it, say what holds it and what loads it: "
        f"`panelpoint confirm {TYPED}`, then start the pile again."
    )
    return replace(_read(model, photo, (needed,)), doubts=reading_remarks(model, reading.remarks))


def _with_model(task: Task, photo: Photo, content: bytes) -> _Found:
    """Use the model file beside the photograph."""
    try:
        model = loads(Path("Its model file"), content)
    except (ModelFileError, NewerVersionError) as error:
        return _Found("not solved", (str(error),))
    picture = model.picture
    if picture is None or any(joint.px is None for joint in model.joints):
        return _Found("not solved", ("Its model file does not say where the joints are in the picture.",))
    if (picture.width, picture.height) != (photo.width, photo.height):
        raise PictureChangedError(Path(FILE), (picture.width, picture.height), (photo.width, photo.height))
    if task.settings.blank_margins:
        model = model.model_copy(update={"title": None})
        photo = with_blank_margins(photo, model)
    changed = (
        ("The photograph has changed since its model file was made. Check that the joints still fit it.",)
        if picture.sha256 != photo.sha256
        else ()
    )
    if task.truss is not None:
        found = _checked(photo, loads(Path("key.truss.json"), task.truss), model)
        return replace(found, doubts=(*found.doubts, *changed))
    if not (model.confirmed or task.settings.trust):
        says = (f"Its model file is not confirmed: `panelpoint confirm {TYPED}`, then start the pile again.",)
        return replace(_read(model, photo, says), doubts=changed)
    return replace(_solved(model, photo), doubts=changed)


def _checked(photo: Photo, key: Model, model: Model) -> _Found:
    """Hold the drawing against the key."""
    checked = check_drawing(key, model)
    if not model.confirmed:
        checked = second_look(photo, model, checked)
    small, in_small = for_keeping(photo, model)
    # Once more in the pixels of the small picture, in which the key then lies too.
    redone = replace(checked, found=check_drawing(key, in_small).found)
    drawing = draw_check(small, key, in_small, redone)
    return _Found(
        checked.verdict,
        checked.says[1:],
        checked.doubts,
        model=model,
        drawing=drawing,
        alt=f"Drawing with {_counted(model)}, held against the key: {VERDICTS[checked.verdict].lower()}",
    )


def _read(model: Model, photo: Photo, says: tuple[str, ...]) -> _Found:
    small, in_small = for_keeping(photo, model)
    alt = f"Photograph with {_counted(model)} drawn on it as read"
    return _Found("read", says, model=model, drawing=names_drawing(small, in_small), alt=alt)


def _solved(model: Model, photo: Photo) -> _Found:
    """Solve a model and draw its forces; what stands in the way is told on the drawing of what was read."""
    try:
        solved = solve_model(model)
    except NoUniqueSolutionError as error:
        return replace(_read(model, photo, (sentence(error),)), state="no answer")
    except (FaultsError, TrussError, SurveyError) as error:
        return replace(_read(model, photo, (sentence(error),)), state="not solved")
    small, in_small = for_keeping(photo, model)
    drawing = forces_drawing(small, replace(solved, model=in_small))
    alt = f"Photograph with the forces in {_counted(model)} drawn on it"
    return _Found("solved", _says(solved), model=model, drawing=drawing, alt=alt)


def _says(solved: Solved) -> tuple[str, ...]:
    solution = solved.solution
    parts = [
        f"{word} is largest in {_extreme(solution, sense)}"
        for word, sense in (("tension", "T"), ("compression", "C"))
        if sense in solution.senses
    ]
    first = "; ".join(parts) or "No member carries a force for certain"
    return (f"{first[0].upper()}{first[1:]}.", *solved.remarks)


def _extreme(solution: Solution, sense: str) -> str:
    """Return the member with the largest force of a sense, and that force."""
    rows = [row for row, given in enumerate(solution.senses) if given == sense]
    row = max(rows, key=lambda one: abs(float(solution.forces[one])))
    member = solution.truss.members[row]
    size = NUMERALS.number(abs(float(solution.forces[row])))
    return f"{member.start}-{member.end}: {size} {solution.truss.force_unit} ({sense})"


def _counted(model: Model) -> str:
    return f"{len(model.joints)} joints and {len(model.members)} members"


def _done(task: Task, photo: Photo, found: _Found) -> Done:
    told = Outcome(
        key=task.key,
        state=found.state,
        says=found.says,
        doubts=found.doubts,
        joints=None if found.model is None else len(found.model.joints),
        members=None if found.model is None else len(found.model.members),
    )
    if found.drawing is None:
        if task.settings.blank_margins:
            return Done(told)
        picture = photograph = shrunk(photo.rgb, DRAWING_SIDE)[0]
    else:
        picture = paint(found.drawing)
        photograph = without_strip(picture, found.drawing)
    small, _ = shrunk(photograph, THUMBNAIL_SIDE)
    pictured = {
        "alt": found.alt or "Photograph",
        "thumbnail": base64.b64encode(jpeg(small, THUMBNAIL_QUALITY)).decode("ascii"),
        "thumbnail_size": (small.shape[1], small.shape[0]),
        "drawing": True,
    }
    return Done(told.model_copy(update=pictured), jpeg(picture, DRAWING_QUALITY))
