"""Sketches of known trusses for the tests of matching: sheared, stretched, slanted, with one slip planted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vision.training.shapes import SHAPES, make_shape

__all__ = ["SLIPS", "TRUSSES", "Sketched", "sketch"]

TRUSSES = tuple(name for name in SHAPES if name != "graph")
SLIPS = ("none", "member missing", "member extra", "joint missing", "joint extra", "mirror image")

Pair = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Sketched:
    """A truss as set and as drawn, y down on both sides."""

    set_joints: NDArray[np.float64]
    set_members: tuple[Pair, ...]
    set_labels: tuple[frozenset[str], ...]
    joints: NDArray[np.float64]
    members: tuple[Pair, ...]
    labels: tuple[frozenset[str], ...]
    rows: tuple[int | None, ...]
    """Drawn row of each set joint."""
    slip: Pair | int | None
    """Set rows of the member, or the joint, that the planted slip is about."""


def sketch(truss: str, slip: str, seed: int, *, wobble: float = 0.012) -> Sketched:
    """Draw a truss as a hand does, joints in any order, with one slip.

    Parameters
    ----------
    truss
        One of `TRUSSES`.
    slip
        One of `SLIPS`.
    seed
        Of everything that is by chance.
    wobble
        Standard deviation of each joint, of the drawing's larger side.
    """
    rng = np.random.default_rng([seed, TRUSSES.index(truss), SLIPS.index(slip)])
    shape = make_shape(rng, truss)
    down = shape.joints * [1, -1]
    count = len(down)
    standing: list[set[str]] = [set() for _ in range(count)]
    for rest in shape.rests:
        standing[rest.joint].add(rest.kind)
    for pull in shape.pulls:
        standing[pull.joint].add("load")
    labels = [frozenset(words) for words in standing]
    joints = _as_drawn(rng, down, wobble)
    members = list(shape.members)
    kept = list(range(count))
    planted: Pair | int | None = None
    if slip == "member missing":
        planted = members.pop(int(rng.integers(len(members))))
    elif slip == "member extra":
        planted = _another(rng, down, shape.members)
        members.append(planted)
    elif slip == "joint missing":
        planted = int(rng.integers(count))
        kept.remove(planted)
    elif slip == "joint extra":
        planted = members.pop(int(rng.integers(len(members))))
        share = rng.uniform(0.35, 0.65)
        joints = np.vstack([joints, share * joints[planted[0]] + (1 - share) * joints[planted[1]]])
        members += [(planted[0], count), (planted[1], count)]
        kept.append(count)
    elif slip == "mirror image":
        joints = joints * [-1, 1] + [4000, 0]
    order = [int(row) for row in rng.permutation(kept)]
    place = {row: at for at, row in enumerate(order)}
    return Sketched(
        set_joints=down,
        set_members=shape.members,
        set_labels=tuple(labels),
        joints=joints[order],
        members=tuple((place[a], place[b]) for a, b in members if a in place and b in place),
        labels=tuple(labels[row] if row < count else frozenset() for row in order),
        rows=tuple(place.get(row) for row in range(count)),
        slip=planted,
    )


def _as_drawn(rng: np.random.Generator, joints: NDArray[np.float64], wobble: float) -> NDArray[np.float64]:
    """Shear, stretch, turn and slant the joints, and let the hand wobble; about 1000 pixels wide."""
    centred = (joints - joints.mean(axis=0)) / np.ptp(joints, axis=0).max()
    turn, shear, stretch = rng.uniform(-0.3, 0.3), rng.uniform(-0.5, 0.5), np.exp(rng.uniform(-0.6, 0.6))
    rotated = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    drawn = centred @ (rotated @ np.array([[1, shear], [0, stretch]])).T
    drawn /= 1 + (drawn @ rng.uniform(-0.12, 0.12, 2))[:, None]
    drawn += rng.normal(0, wobble, drawn.shape) * np.ptp(drawn, axis=0).max()
    return np.asarray(drawn * 1000 + 2000)


def _another(rng: np.random.Generator, joints: NDArray[np.float64], members: tuple[Pair, ...]) -> Pair:
    """Return two joints without a member, among the nearest such."""
    free = [(a, b) for a in range(len(joints)) for b in range(a + 1, len(joints)) if (a, b) not in members]
    near = sorted(free, key=lambda pair: float(np.hypot(*(joints[pair[0]] - joints[pair[1]]))))[:6]
    return near[int(rng.integers(len(near)))]
