"""Names of joints: reading order from the bottom left, letters that go on after Z."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cli.names import letters, reading_order

# A four-panel truss, y down: five joints on the bottom chord, three on the top.
PX = np.array(
    [(0, 400), (200, 400), (400, 400), (600, 400), (800, 400), (200, 200), (400, 200), (600, 200)],
    dtype=float,
)
MEMBERS = [
    (0, 1),
    (1, 2),
    (2, 3),
    (3, 4),
    (5, 6),
    (6, 7),
    (0, 5),
    (1, 5),
    (2, 6),
    (3, 7),
    (4, 7),
    (5, 2),
    (2, 7),
]


@pytest.mark.parametrize(
    ("row", "name"),
    [(0, "A"), (25, "Z"), (26, "AA"), (27, "AB"), (51, "AZ"), (52, "BA"), (701, "ZZ"), (702, "AAA")],
)
def test_letters_go_on_after_z(row: int, name: str) -> None:
    """Z is followed by AA, as in the columns of a table."""
    assert letters(row) == name


def test_letters_never_repeat() -> None:
    """A thousand joints have a thousand names."""
    assert len({letters(row) for row in range(1000)}) == 1000


@pytest.mark.parametrize("turn", [-12, -3, 0, 3, 12])
@pytest.mark.parametrize("wobble", [0.0, 12.0])
def test_bottom_row_first_then_upwards(turn: float, wobble: float) -> None:
    """The order holds for a picture taken askew and a chord that wanders."""
    angle = math.radians(turn)
    spin = np.array([(math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))])
    rng = np.random.default_rng(3)
    seen = (PX + rng.uniform(-wobble, wobble, PX.shape)) @ spin
    shuffle = rng.permutation(len(PX))
    rank = np.argsort(shuffle)
    members = [(int(rank[start]), int(rank[end])) for start, end in MEMBERS]
    order = reading_order(seen[shuffle], members)
    assert [int(shuffle[row]) for row in order] == list(range(8))


def test_no_joint_and_one_joint_have_an_order() -> None:
    """The degenerate cases are answered, not refused."""
    assert reading_order(np.zeros((0, 2)), []) == ()
    assert reading_order(np.zeros((1, 2)), []) == (0,)
