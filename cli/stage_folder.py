"""A folder that takes the pictures of the reading's stages: `01-maps-joints.png` and so on."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from cli.errors import MissingExtraError
from cli.outputs import ensure_folder, ensure_free, write_atomically
from cli.own_pictures import signed

__all__ = ["StageFolder"]

_NEEDED = {"skimage": "scikit-image", "shapely": "shapely"}
"""What draws segments and clusters of their ends, by the name under which it is imported."""


class StageFolder:
    """Writes each picture as soon as it is there, so that a reading that finds no truss can be looked at too.

    Parameters
    ----------
    folder
        Made when it is not there.
    force
        The user allows that pictures of an earlier reading are replaced.

    Raises
    ------
    MissingExtraError
        When what the stages are drawn with is not installed.
    UnwritableError
        When the folder takes no files.
    """

    def __init__(self, folder: Path, *, force: bool) -> None:
        missing = tuple(name for module, name in _NEEDED.items() if find_spec(module) is None)
        if missing:
            raise MissingExtraError("The pictures of the stages", missing, "stages")
        ensure_folder(folder)
        self.folder, self.force = folder, force
        self.names: list[str] = []

    def picture(self, stage_name: str, array: NDArray[np.generic]) -> None:
        """Write one picture: 0 to 1, or levels of 255 beyond; (H, W) or (H, W, 3) as red, green, blue.

        Raises
        ------
        OutputExistsError
            When it is there already and `force` was not given.
        """
        name = f"{len(self.names) + 1:02d}-{stage_name.replace(' ', '-')}.png"
        path = self.folder / name
        self.folder.mkdir(parents=True, exist_ok=True)
        ensure_free(path, force=self.force)
        values = np.asarray(array, np.float32)
        if float(values.max(initial=0.0)) <= 1:
            values = values * 255
        levels = np.clip(values, 0, 255).astype(np.uint8)
        if levels.ndim == 3:
            levels = np.ascontiguousarray(levels[..., ::-1])
        write_atomically(path, signed(cv2.imencode(".png", levels)[1].tobytes()))
        self.names.append(name)
