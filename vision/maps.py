"""A picture through the network: maps of joints, members, supports, loads and other ink.

The network (`vision/weights`) is run by onnxruntime, imported only when a picture is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.channels import DIRECTIONS, LINES, STRIDE

__all__ = ["WEIGHTS", "Box", "MapSettings", "Maps", "look", "look_mirrored"]

Box = tuple[int, int, int, int]

WEIGHTS = Path(__file__).parent / "weights" / "panelpoint.onnx"
"""The trained network; how it was made is told beside it."""

_STEP = 32
"""The network's coarsest stride: inputs are padded to whole multiples of it."""


@dataclass(frozen=True)
class MapSettings:
    """How the network is run."""

    weights: Path = WEIGHTS
    threads: int = 2
    """Threads of the runtime; more than two gained little on pictures of this size."""


@dataclass(frozen=True, eq=False)
class Maps:
    """What the network saw in one picture at one size."""

    values: NDArray[np.float32]
    """(CHANNELS, rows, columns), 0 to 1; the meaning of each channel is in `vision.channels`."""
    zoom: float
    """Network input pixels per picture pixel."""
    origin: tuple[int, int] = (0, 0)
    """x, y of the picture pixel at which the part that was looked at begins."""

    @property
    def lines(self) -> NDArray[np.float32]:
        """The oriented line maps, (DIRECTIONS, rows, columns)."""
        return self.values[LINES]

    def to_picture(self, cells: NDArray[np.float64]) -> NDArray[np.float64]:
        """Carry points (N, 2) x, y from cells of a map to pixels of the picture."""
        inner = cells * STRIDE + (STRIDE - 1) / 2
        return np.asarray((inner + 0.5) / self.zoom - 0.5 + np.array(self.origin))

    def to_cells(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Carry points (N, 2) x, y from pixels of the picture to cells of a map."""
        inner = (points - np.array(self.origin) + 0.5) * self.zoom - 0.5
        return np.asarray((inner - (STRIDE - 1) / 2) / STRIDE)

    @property
    def cells_per_pixel(self) -> float:
        """Cells of a map along one pixel of the picture."""
        return self.zoom / STRIDE


@lru_cache(maxsize=2)
def _session(weights: Path, threads: int) -> Any:
    """Load the network once; onnxruntime is slow to import and is not needed by most commands."""
    import onnxruntime  # noqa: PLC0415 - see above

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = threads
    options.inter_op_num_threads = 1
    options.log_severity_level = 3
    # Waiting threads sleep: on a busy machine, spinning ones take the cores from those that work.
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    return onnxruntime.InferenceSession(str(weights), options, providers=["CPUExecutionProvider"])


def look(
    rgb: NDArray[np.uint8], size: int, *, box: Box | None = None, settings: MapSettings | None = None
) -> Maps:
    """Run the network on a picture, or a part of it, brought to `size` pixels along its longer side.

    Parameters
    ----------
    rgb : (H, W, 3) uint8
        The upright picture.
    size : int
        Longer side of what the network sees, pixels.
    box : tuple of int, optional
        Left, top, right, bottom of the part to look at, picture pixels; right and bottom lie outside.
    settings : MapSettings, optional

    Returns
    -------
    Maps
        Cropped to the cells that lie in the picture.
    """
    s = settings or MapSettings()
    left, top, right, bottom = box or (0, 0, rgb.shape[1], rgb.shape[0])
    rgb = rgb[top:bottom, left:right]
    height, width = rgb.shape[:2]
    zoom = size / max(height, width)
    rows, columns = max(8, round(height * zoom)), max(8, round(width * zoom))
    method = cv2.INTER_AREA if zoom < 1 else cv2.INTER_CUBIC
    small = (
        rgb if (rows, columns) == (height, width) else cv2.resize(rgb, (columns, rows), interpolation=method)
    )
    below, beside = -rows % _STEP, -columns % _STEP
    small = cv2.copyMakeBorder(small, 0, below, 0, beside, cv2.BORDER_REPLICATE)
    blob = np.ascontiguousarray(small.transpose(2, 0, 1)[None], dtype=np.float32)
    blob *= np.float32(1 / 255)
    maps = _session(s.weights, s.threads).run(None, {"picture": blob})[0][0]
    inside = maps[:, : -(-rows // STRIDE), : -(-columns // STRIDE)]
    return Maps(np.ascontiguousarray(inside), zoom, (left, top))


def look_mirrored(
    rgb: NDArray[np.uint8], size: int, *, box: Box | None = None, settings: MapSettings | None = None
) -> Maps:
    """Run the network on the mirror image of a picture, and turn the maps back.

    Parameters, and what is returned, are those of `look`; `size` is a multiple of `vision.channels.STRIDE`.
    The network sees the same drawing anew: what it doubts comes out otherwise, what is plain does not.
    """
    left, top, right, bottom = box or (0, 0, rgb.shape[1], rgb.shape[0])
    part = rgb[top:bottom, left:right]
    # Mirrored along the longer side, which is `size` pixels: there the cells of both fall together.
    along = 1 if right - left >= bottom - top else 0
    seen = look(np.flip(part, along), size, settings=settings)
    values = np.flip(seen.values, 1 + along).copy()
    # A line at k steps comes back at -k.
    values[LINES] = values[LINES][-np.arange(DIRECTIONS) % DIRECTIONS]
    return Maps(values, seen.zoom, (left, top))
