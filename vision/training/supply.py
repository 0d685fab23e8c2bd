"""Worker processes that render pictures, and the pool on the training device that holds the newest of them.

Rendering is the bottleneck: a picture stays in the pool and is used several times, each time bent, lit and
spoilt anew (`vision.training.augment`), until a newer one takes its place.
"""

from __future__ import annotations

import logging
import mmap
import multiprocessing
import os
import queue
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.context import ForkProcess

import cv2
import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from vision.training.augment import View, move
from vision.training.targets import Labels
from vision.training.wild.picture import LabelledPicture

__all__ = ["SIDE", "Pool", "Supply", "fitted"]

SIDE = 1024
"""Pool pictures are at most this long, pixels."""
_BYTES = SIDE * SIDE * 3
_STAGED = 32
"""Pictures copied to the device at a time."""
_MOST_TROUBLE = 4.0
"""Times the mean loss that a single picture can weigh when pictures are drawn."""

_MAKER_FAULTS = (ArithmeticError, LookupError, ValueError, cv2.error, np.linalg.LinAlgError)

Maker = Callable[[int], LabelledPicture]


@dataclass(frozen=True, eq=False)
class _Crate:
    """A picture on its way: where its pixels lie, and its labels as arrays."""

    slot: int
    shape: tuple[int, int]
    held_out: bool
    upright: bool
    arrays: tuple[NDArray[np.float32], ...]
    """Joints, lines, far lines, arrows, pins, rollers, other."""


_COLUMNS = (2, 4, 4, 4, 2, 2, 8)


def fitted(picture: LabelledPicture) -> tuple[NDArray[np.uint8], tuple[NDArray[np.float32], ...]]:
    """Shrink a picture to the pool's size, and its labels with it."""
    rgb = picture.rgb
    scale = min(1.0, SIDE / max(rgb.shape[:2]))
    if scale < 1:
        size = (min(SIDE, round(rgb.shape[1] * scale)), min(SIDE, round(rgb.shape[0] * scale)))
        rgb = np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), np.uint8)
    found = (picture.joints, picture.lines, picture.far_lines, picture.arrows, picture.pins, picture.rollers,
             picture.other)  # fmt: skip
    # Pixel centres lie at whole numbers: half a pixel goes with the scale.
    arrays = tuple(
        ((np.asarray(a, np.float32).reshape(-1, c) + 0.5) * scale - 0.5).astype(np.float32)
        for a, c in zip(found, _COLUMNS, strict=True)
    )
    return rgb, arrays


class Supply:
    """Worker processes rendering without end; forked, so start it before the first use of a GPU."""

    def __init__(
        self, maker: Maker, *, workers: int, first_seed: int, held_out: int, slots: int = 192
    ) -> None:
        context = multiprocessing.get_context("fork")
        self.memory = mmap.mmap(-1, slots * _BYTES)
        self.free: multiprocessing.Queue[int] = context.Queue()
        self.full: multiprocessing.Queue[_Crate] = context.Queue()
        for slot in range(slots):
            self.free.put(slot)
        self.processes: list[ForkProcess] = []
        for k in range(workers):
            aside = list(range(k, held_out, workers))
            process = context.Process(
                target=self._work, args=(maker, first_seed + k * 10_000_000, aside), daemon=True
            )
            process.start()
            self.processes.append(process)

    def _work(self, maker: Maker, seed: int, aside: list[int]) -> None:
        os.nice(5)
        cv2.setNumThreads(1)
        view = np.frombuffer(self.memory, np.uint8)
        while True:
            held_out = bool(aside)
            chosen = aside.pop() if held_out else seed
            seed += not held_out
            try:
                picture = maker(chosen)
            except _MAKER_FAULTS as fault:
                # One bad seed in thousands must not cost a run a worker; the tests own the makers.
                logging.getLogger(__name__).warning("seed %d left out: %r", chosen, fault)
                continue
            rgb, arrays = fitted(picture)
            slot = self.free.get()
            view[slot * _BYTES : slot * _BYTES + rgb.size] = rgb.reshape(-1)
            self.full.put(_Crate(slot, (rgb.shape[0], rgb.shape[1]), held_out, picture.upright, arrays))

    def close(self) -> None:
        """End the workers."""
        for process in self.processes:
            process.terminate()
        for process in self.processes:
            process.join(timeout=5)


class Pool:
    """The newest pictures, on the training device."""

    def __init__(self, size: int, device: torch.device) -> None:
        self.pictures = torch.zeros((size, SIDE, SIDE, 3), dtype=torch.uint8, device=device)
        self.shape = torch.ones((size, 2), dtype=torch.int64)
        self.frame = torch.zeros((size, 4))
        self.shortest = torch.ones(size)
        self.upright = torch.zeros(size, dtype=torch.bool)
        self.arrays: list[tuple[NDArray[np.float32], ...]] = [()] * size
        self.trouble = np.zeros(size)
        """How wrong the network last was on each picture, as a loss."""
        self.count = 0
        self.seen = 0
        self.cursor = 0
        stage = torch.empty((_STAGED, _BYTES), dtype=torch.uint8)
        cuda = device.type == "cuda"
        self.stage = stage.pin_memory() if cuda else stage
        self.copied = torch.cuda.Event() if cuda else None

    def __len__(self) -> int:
        return self.count

    def put(self, crate: _Crate, pixels: Tensor) -> None:
        """Take one picture in over the oldest; `pixels` is flat."""
        i = self.cursor
        height, width = crate.shape
        moved = pixels[: height * width * 3].to(self.pictures.device, non_blocking=True)
        self.pictures[i, :height, :width] = moved.view(height, width, 3)
        joints, lines = crate.arrays[0], crate.arrays[1]
        self.shape[i] = torch.tensor(crate.shape)
        if len(joints) > 1:
            low, high = joints.min(0), joints.max(0)
            self.frame[i] = torch.tensor([*low, *high])
            lengths = np.hypot(lines[:, 2] - lines[:, 0], lines[:, 3] - lines[:, 1])
            self.shortest[i] = float(np.percentile(lengths, 10)) if len(lengths) else 50.0
        else:
            self.frame[i] = torch.tensor([0.0, 0.0, width, height])
            self.shortest[i] = 60.0
        self.upright[i] = crate.upright
        self.arrays[i] = crate.arrays
        # A new picture is as hard as the others until it has been tried.
        self.trouble[i] = float(self.trouble[: self.count].mean()) if self.count else 1.0
        self.cursor = (i + 1) % len(self.arrays)
        self.count = min(self.count + 1, len(self.arrays))
        self.seen += 1

    def drain(self, supply: Supply, arena: Tensor, aside: Pool | None, *, most: int, wait: float) -> int:
        """Take in what the workers have ready, at most `most`, waiting `wait` seconds for the first.

        Pixels go through pinned memory, so that their copies run beside the training.
        """
        taken = 0
        if self.copied is not None:
            self.copied.synchronize()  # the stage is free once the last copies out of it are done
        while taken < min(most, _STAGED):
            try:
                crate = supply.full.get(timeout=wait) if taken == 0 and wait > 0 else supply.full.get_nowait()
            except queue.Empty:
                break
            start = crate.slot * _BYTES
            target = aside if crate.held_out and aside is not None else self
            size = crate.shape[0] * crate.shape[1] * 3
            self.stage[taken, :size] = arena[start : start + size]
            supply.free.put(crate.slot)
            target.put(crate, self.stage[taken])
            taken += 1
        if self.copied is not None:
            self.copied.record()
        return taken

    def choose(self, rng: np.random.Generator, count: int) -> NDArray[np.int64]:
        """Draw pictures: half of the chances even, half by how wrong the network last was on them.

        None counts more than `_MOST_TROUBLE` times the mean: some are beyond reading.
        """
        trouble = self.trouble[: self.count]
        trouble = np.minimum(trouble, _MOST_TROUBLE * trouble.mean() + 1e-9)
        chance = 0.5 / self.count + 0.5 * trouble / trouble.sum()
        return rng.choice(self.count, count, p=chance / chance.sum())

    def labels(self, rows: NDArray[np.int64], view: View, window: int) -> Labels:
        """Gather the labels of chosen pictures and carry them into their windows."""
        parts: list[Tensor] = []
        for kind, columns in enumerate(_COLUMNS):
            found = [self.arrays[r][kind] for r in rows]
            counts = [len(f) for f in found]
            flat = (
                np.concatenate(found).reshape(-1, columns)
                if sum(counts)
                else np.zeros((0, columns), np.float32)
            )
            owner = np.repeat(np.arange(len(rows), dtype=np.float32), counts)[:, None]
            packed = torch.from_numpy(np.hstack([owner, flat]).astype(np.float32))
            parts.append(move(view, packed.to(view.forward.device, non_blocking=True), columns))
        joints, lines, far, arrows, pins, rollers, other = parts
        return Labels((len(rows), window, window), joints, lines, far, arrows, pins, rollers, other)
