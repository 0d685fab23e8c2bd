"""Letters and figures as pen strokes of our own, so that pages carry writing where no font is installed."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

__all__ = ["letter_strokes"]

CAP_HEIGHT = 6.0
"""Rows of the grid from the top of a capital to the baseline."""

STAND_OFF = 1.6
"""Columns between one letter and the next."""

# Each stroke is a row of points "xy" on a grid 4 wide: y = 0 top of a capital, 6 baseline, 8 foot of a "g".
# A stroke that starts with "~" is rounded.
_STROKES = {
    "0": "~20 01 05 26 45 41 20",
    "1": "11 20 26",
    "2": "~01 10 30 41 33 06;06 46",
    "3": "~00 30 41 23;~23 43 45 26 05",
    "4": "30 04 44;31 36",
    "5": "40 00 02;~02 32 44 36 05",
    "6": "~30 12 05 26 45 33 04",
    "7": "00 40 16",
    "8": "~20 01 23 45 26 05 23 41 20",
    "9": "~41 20 01 13 42;41 36",
    "A": "06 20 46;14 34",
    "B": "06 00;~00 30 41 03;~03 43 45 06",
    "C": "~41 20 02 04 26 45",
    "D": "00 06;~00 30 43 36 06",
    "E": "40 00 06 46;03 33",
    "F": "40 00 06;03 33",
    "G": "~41 20 02 04 26 45;45 43 23",
    "H": "00 06;40 46;03 43",
    "I": "20 26",
    "J": "~30 35 16 05",
    "K": "00 06;40 03 46",
    "L": "00 06 46",
    "M": "06 00 24 40 46",
    "N": "06 00 46 40",
    "O": "~20 01 05 26 45 41 20",
    "P": "00 06;~00 40 42 03",
    "Q": "~20 01 05 26 45 41 20;34 47",
    "R": "06 00;~00 40 42 03;13 46",
    "S": "~41 20 01 23 45 26 05",
    "T": "00 40;20 26",
    "U": "~00 05 26 45 40",
    "V": "00 26 40",
    "W": "00 16 23 36 40",
    "X": "00 46;40 06",
    "Y": "00 23 40;23 26",
    "Z": "00 40 06 46",
    "a": "~42 22 03 05 26 45;42 46",
    "b": "00 06;~03 22 44 26 05",
    "c": "~42 22 04 26 46",
    "d": "~43 22 04 26 45;40 46",
    "e": "04 44;~44 32 12 04 26 45",
    "f": "~41 20 13;13 16;02 32",
    "g": "~43 22 04 26 45;~42 47 28 07",
    "h": "00 06;~03 22 34 36",
    "i": "22 26;20 20",
    "j": "~32 37 18 07;30 30",
    "k": "00 06;32 04 36",
    "l": "20 26",
    "m": "02 06;~03 12 23 26;~23 32 43 46",
    "n": "02 06;~03 22 34 36",
    "o": "~22 03 05 26 45 43 22",
    "p": "02 08;~03 22 44 26 05",
    "q": "~43 22 04 26 45;42 48",
    "r": "02 06;~03 22 32",
    "s": "~32 12 03 24 35 16 06",
    "t": "10 15 26 36;02 32",
    "u": "~02 05 16 35;32 36",
    "v": "02 16 32",
    "w": "02 16 23 36 42",
    "x": "02 36;32 06",
    "y": "02 16;32 08",
    "z": "02 32 06 36",
    ".": "26 26",
    ",": "26 17",
    ":": "23 23;26 26",
    "=": "02 42;04 44",
    "+": "03 43;21 25",
    "-": "03 43",
    "−": "03 43",
    "/": "40 06",
    "(": "~30 13 36",
    ")": "~10 33 16",
    "!": "20 24;26 26",
    "_": "07 47",
    "?": "~01 10 30 41 23;23 24;26 26",
    "°": "~10 01 12 21 10",
    "'": "20 21",
    "#": "10 06;30 26;02 42;04 44",
    "Σ": "40 00 23 06 46",
    "θ": "~20 01 05 26 45 41 20;03 43",
    "√": "04 16 20 60",
}


def _rounded(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Cut the corners twice (Chaikin's scheme), keeping the ends."""
    for _ in range(2):
        near = points[:-1] * 0.75 + points[1:] * 0.25
        far = points[:-1] * 0.25 + points[1:] * 0.75
        inner = np.stack([near, far], axis=1).reshape(-1, 2)
        points = np.concatenate([points[:1], inner[1:-1], points[-1:]])
    return points


@cache
def letter_strokes(letter: str) -> tuple[tuple[NDArray[np.float64], ...], float]:
    """Return the strokes of one letter and how far the next one stands off.

    Strokes are (K, 2) with x from the left, y down from the baseline, in heights of a capital. A letter
    that is not known, and a blank, has no strokes.
    """
    rows = _STROKES.get(letter)
    if rows is None:
        return (), 0.55
    strokes = []
    for row in rows.split(";"):
        points = np.array([(int(p[0]), int(p[1])) for p in row.lstrip("~").split()], dtype=float)
        if np.allclose(points[0], points[-1]) and len(points) == 2:
            points[1] += [0.45, 0.35]  # a full stop is a short stroke
        points = _rounded(points) if row.startswith("~") else points
        strokes.append(points)
    every = np.concatenate(strokes)[:, 0]
    left, right = float(every.min()), float(every.max())
    return (
        tuple((points - [left, CAP_HEIGHT]) / CAP_HEIGHT for points in strokes),
        (right - left + STAND_OFF) / CAP_HEIGHT,
    )
