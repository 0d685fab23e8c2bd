"""Scenes for the tests of overlays and figures: a known truss on drawn photographs, and random trusses."""

from __future__ import annotations

import math

import cv2
import numpy as np

from cli.sheets.scene import Scene, make_scene
from solver import Joint, Load, Member, Solution, Support, Truss, solve

CAUTION = "Ideal pin-jointed planar truss. Teaching and model-building only."


def pixels(truss: Truss, width: int, height: int, share: float = 0.72) -> dict[str, tuple[float, float]]:
    """Put a truss in the middle of a picture, `share` of its width or height."""
    low, extent = truss.at.min(axis=0), np.ptp(truss.at, axis=0)
    scale = min(share * width / extent[0], 0.5 * height / max(extent[1], 1e-9))
    middle = low + extent / 2
    return {
        joint.name: (
            width / 2 + (joint.x - middle[0]) * scale,
            height / 2 - (joint.y - middle[1]) * scale,
        )
        for joint in truss.joints
    }


def scene_of(solution: Solution, width: int, height: int, **options) -> Scene:
    """Make the scene of a solution in a picture of a size."""
    return make_scene(
        solution.truss,
        pixels(solution.truss, width, height),
        (width, height),
        forces=solution.forces.tolist(),
        senses=options.pop("senses", solution.senses),
        reactions=[(item.joint, item.fx, item.fy) for item in solution.reactions],
        title=options.pop("title", "Creek footbridge, side A"),
        caution=CAUTION,
        **options,
    )


def ground(kind: str, width: int, height: int) -> np.ndarray:
    """Draw a ground: black, white, or noise of every colour."""
    if kind == "noise":
        return np.random.default_rng(7).integers(0, 256, (height, width, 3), dtype=np.uint8)
    return np.full((height, width, 3), {"black": 0, "white": 255, "paper": 226, "board": 52}[kind], np.uint8)


def photographed(scene: Scene, kind: str) -> np.ndarray:
    """Draw the members of a scene on a ground, with a little light and shade."""
    picture = ground(kind, scene.width, scene.height).astype(np.float32)
    light = np.linspace(0.86, 1.1, scene.width, dtype=np.float32)[None, :, None]
    picture = np.clip(picture * light, 0, 255).astype(np.uint8)
    ink = (228, 230, 222) if picture.mean() < 128 else (60, 62, 75)
    at = [(round(joint.x), round(joint.y)) for joint in scene.joints]
    for member in scene.members:
        cv2.line(picture, at[member.start], at[member.end], ink, max(2, scene.width // 400), cv2.LINE_AA)
    return picture


def random_truss(seed: int) -> Solution:
    """Return a stable random truss of 3 to 30 joints, solved: triangles strung along a wavy line.

    Panels, heights, diagonals, names, supports and loads vary; some rollers are inclined.
    """
    random = np.random.default_rng(seed)
    # Every count occurs; small trusses more often, as in classrooms.
    count = 3 + round(27 * ((seed % 28) / 27) ** 2)
    joints, members = [], []
    x = 0.0
    low, high = random.uniform(0.8, 1.4), random.uniform(1.6, 3.5)
    for row in range(count):
        sway = random.uniform(-0.25, 0.25)
        y = sway if row % 2 == 0 else random.uniform(low, high)
        joints.append((x, y))
        x += random.uniform(0.6, 1.5)
        members += [(row - back, row) for back in (1, 2) if row >= back]
    long_names = seed % 7 == 0
    names = [f"L{row}" if long_names else chr(65 + row % 26) * (1 + row // 26) for row in range(count)]
    last = count - 1 if (count - 1) % 2 == 0 else count - 2
    tilt = random.uniform(-0.6, 0.6) if seed % 3 == 0 else 0.0
    unit = random.choice(["N", "kN", "lbf"])
    size = 10.0 ** random.integers(0, 4)
    loaded = random.choice(
        np.arange(1, count), size=min(count - 1, int(random.integers(1, 6))), replace=False
    )
    loads = []
    for row in sorted(int(row) for row in loaded):
        across = float(random.uniform(-1, 1)) if random.random() < 0.3 else 0.0
        loads.append(Load(names[row], across * size, -float(random.uniform(0.2, 2.0)) * size))
    return solve(
        Truss(
            tuple(Joint(name, float(px), float(py)) for name, (px, py) in zip(names, joints, strict=True)),
            tuple(Member(names[start], names[end]) for start, end in members),
            (
                Support(names[0], "pin"),
                Support(names[last], "roller", (math.sin(tilt), math.cos(tilt))),
            ),
            tuple(loads),
            force_unit=str(unit),
        )
    )
