"""How solving scales.

Model in, forces out, beside scipy's solver on the ready-made matrix. Run with `-n 0 -s`.

Times are CPU times, the best of a few runs in one process, on whatever machine this is; only the ratios mean
something. Set OMP_NUM_THREADS=1, so that threads are not counted twice.
"""

from __future__ import annotations

import resource
import time
import tracemalloc
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.sparse.linalg import spsolve
from scipy.spatial import Delaunay

from solver import Joint, Load, Member, Support, Truss, solve, solve_with_stiffness, work
from solver.equilibrium import Equilibrium

SIZES = (100, 1_000, 10_000, 100_000)
RUNS = 5

Parts = tuple[tuple[Joint, ...], tuple[Member, ...], tuple[Support, ...], tuple[Load, ...]]


def strip(joints: int) -> Parts:
    """Build a triangulated strip with uneven panels, diagonals either way and a load on every top joint."""
    rng = np.random.default_rng(joints)
    panels = joints // 2 - 1
    at = np.stack([np.tile(np.arange(panels + 1.0), 2), np.repeat([0.0, 1.0], panels + 1)], axis=1)
    at += rng.uniform(-0.15, 0.15, at.shape)
    names = [f"b{i}" for i in range(panels + 1)] + [f"t{i}" for i in range(panels + 1)]
    bottom, top = names[: panels + 1], names[panels + 1 :]
    members = [Member(row[i], row[i + 1]) for row in (bottom, top) for i in range(panels)]
    members += [Member(bottom[i], top[i]) for i in range(panels + 1)]
    rises = rng.random(panels) < 0.5
    members += [
        Member(bottom[i], top[i + 1]) if rises[i] else Member(top[i], bottom[i + 1]) for i in range(panels)
    ]
    return (
        tuple(Joint(name, x, y) for name, (x, y) in zip(names, at.tolist(), strict=True)),
        tuple(members),
        (Support(bottom[0], "pin"), Support(bottom[-1], "roller")),
        tuple(Load(name, 0.0, -1.0) for name in top),
    )


def triangulation(joints: int) -> Parts:
    """Triangulate scattered points (Delaunay) and pin the rim: a redundant net, solved by equal stiffness.

    Points are a jittered grid, since points at random leave slivers at the rim with joints on members.
    """
    rng = np.random.default_rng(joints)
    side = round(np.sqrt(joints))
    points = np.stack(np.meshgrid(np.arange(side), np.arange(side)), axis=-1).reshape(-1, 2).astype(float)
    points += rng.uniform(-0.35, 0.35, points.shape)
    joints = len(points)
    mesh = Delaunay(points)
    sides = np.sort(np.concatenate([mesh.simplices[:, pair] for pair in ((0, 1), (1, 2), (2, 0))]), axis=1)
    sides = np.unique(sides, axis=0)
    names = [f"J{i}" for i in range(joints)]
    rim = np.unique(mesh.convex_hull)
    loaded = np.setdiff1d(np.arange(joints), rim)
    return (
        tuple(Joint(name, x, y) for name, (x, y) in zip(names, points.tolist(), strict=True)),
        tuple(Member(names[start], names[end]) for start, end in sides.tolist()),
        tuple(Support(names[row], "pin") for row in rim.tolist()),
        tuple(Load(names[row], 0.0, -1.0) for row in loaded.tolist()),
    )


def wide(joints: int) -> Parts:
    """Take a determinate truss out of a random triangulation, each joint on two earlier ones.

    Points are a jittered grid, swept along its diagonal. Each joint keeps its members to the left and below,
    so that loads go straight to the two pinned sides and the condition number stays moderate.
    """
    rng = np.random.default_rng(joints)
    side = round(np.sqrt(joints))
    grid = np.stack(np.meshgrid(np.arange(side), np.arange(side)), axis=-1).reshape(-1, 2).astype(float)
    grid += rng.uniform(-0.12, 0.12, grid.shape)
    names = [f"J{i}" for i in range(side * side)]
    edge = [row * side + column == row * side or row == 0 for row in range(side) for column in range(side)]
    members = []
    for row in range(1, side):
        for column in range(1, side):
            here = row * side + column
            members.append(Member(names[here], names[here - 1]))
            below = here - side if rng.random() < 0.5 or column == 1 else here - side - 1
            members.append(Member(names[here], names[below]))
    used = {name for member in members for name in (member.start, member.end)}
    return (
        tuple(Joint(name, x, y) for name, (x, y) in zip(names, grid.tolist(), strict=True) if name in used),
        tuple(members),
        tuple(Support(name, "pin") for name, on in zip(names, edge, strict=True) if on and name in used),
        tuple(Load(name, 0.0, -1.0) for name, on in zip(names, edge, strict=True) if not on),
    )


def best(action: Callable[[], Any]) -> float:
    """Give the shortest of a few runs, in seconds of CPU time."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        action()
        times.append(time.process_time() - start)
    return min(times)


def ready_made(truss: Truss, how: Callable[[Truss], Any]) -> Callable[[], Any]:
    """Give scipy's solve of the same equations, their matrix made beforehand."""
    equilibrium = Equilibrium(truss)
    if how is solve:
        return lambda: spsolve(equilibrium.matrix, -equilibrium.loads)
    # The stiffness matrix of the free joints, as a structural program would have it.
    count = len(truss.members)
    free = np.ones(2 * len(truss.joints), dtype=bool)
    at_joint, _ = equilibrium.reactions
    free[2 * at_joint] = free[2 * at_joint + 1] = False
    members = equilibrium.matrix[:, :count].tocsr()[free]
    stiffness = (members @ (members / truss.lengths[None, :]).T.tocsr()).tocsc()
    return lambda: spsolve(stiffness, equilibrium.loads[free])


def equal(truss: Truss) -> Any:
    """Solve by equal stiffness."""
    return solve_with_stiffness(truss, equal=True)


@pytest.mark.benchmark
@pytest.mark.timeout(1800)
@pytest.mark.parametrize(
    ("name", "make", "how"),
    [("strip", strip, solve), ("wide", wide, solve), ("triangulation", triangulation, equal)],
    ids=["strip", "wide", "triangulation"],
)
def test_scaling(name: str, make: Callable[[int], Parts], how: Callable[[Truss], Any]) -> None:
    """Print time, scipy's time on the ready-made matrix, their ratio, peak memory and the growth exponent."""
    print(f"\n{name}: joints, whole solve s, spsolve s, ratio, peak MB, exponent since the last, condition")
    last: tuple[int, float] | None = None
    for size in SIZES:
        parts = make(size)
        whole = best(lambda parts=parts: how(Truss(*parts)))
        truss = Truss(*parts)
        other = best(ready_made(truss, how))
        tracemalloc.start()
        solution = how(Truss(*parts))
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        count = len(truss.joints)
        exponent = "" if last is None else f"{np.log(whole / last[1]) / np.log(count / last[0]):.2f}"
        print(
            f"  {count:>7} {whole:9.4f} {other:9.4f} {whole / other:7.2f} {peak / 1e6:8.1f} {exponent:>6} "
            f"{solution.stability.condition:.1e}"
        )
        last = (count, whole)
        assert np.isfinite(solution.forces).all()
    print(f"  peak of the process {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3:.0f} MB")


@pytest.mark.benchmark
def test_steps_of_two_thousand_joints() -> None:
    """Print the time of all worked steps beside that of the plain solve."""
    parts = strip(2_000)
    plain = best(lambda: solve(Truss(*parts)))
    steps = best(lambda: work(Truss(*parts)))
    print(
        f"\n2,000 joints: plain solve {plain:.3f} s, with all steps {steps:.3f} s, ratio {steps / plain:.1f}"
    )
