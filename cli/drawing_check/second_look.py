"""Before a student is told that a member is missing or too many, the photograph is asked once more.

The network that reads can miss a faint stroke, and can see one where there is none. Where the ink itself says
otherwise, the slip is left to a person's look.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cli.drawing_check.check import verdict_of
from cli.drawing_check.slips import DrawingCheck, Slip
from cli.model.file import Model
from vision import Photo
from vision.trace import traced_share

__all__ = ["SecondLookSettings", "second_look"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SecondLookSettings:
    """When ink speaks for or against a member."""

    drawn: float = 0.8
    """Of a line with a stroke along it: something is drawn there. On made pages 95 in 100 members reach it,
    and 4 in 100 lines between joints that are not joined."""
    bare: float = 0.5
    """Below, nothing is drawn there: 2 in 100 members fall short of it."""
    clear: float = 0.08
    """Of the line's length: with another joint so near to it, ink along it belongs to other members."""


def second_look(
    photo: Photo, drawn: Model, checked: DrawingCheck, *, settings: SecondLookSettings | None = None
) -> DrawingCheck:
    """Return the comparison with slips left to a person's look where the ink speaks against them.

    Parameters
    ----------
    photo
        The picture that was read.
    drawn
        What was read, in its pixels.
    checked
        What came of the comparison.
    settings
        Limits.
    """
    s = settings or SecondLookSettings()
    found = checked.found
    if found is None:
        return checked
    joints = np.array([joint.px for joint in drawn.joints], dtype=float)
    lines: dict[Slip, tuple[int, int]] = {}
    for slip in checked.slips:
        if slip.kind == "member missing":
            one, other = (found.to[row] for row in slip.set_rows)
            if one is not None and other is not None and _clear(joints, (one, other), s):
                lines[slip] = one, other
        elif slip.kind == "member extra":
            lines[slip] = slip.drawn_rows[0], slip.drawn_rows[1]
    rows = drawn.rows
    extra = {frozenset(slip.drawn_rows) for slip in checked.slips if slip.kind == "member extra"}
    pairs = [(rows[member.joints[0]], rows[member.joints[1]]) for member in drawn.members]
    surely = [pair for pair in pairs if frozenset(pair) not in extra]
    shares = dict(zip(lines, traced_share(photo, joints, surely, list(lines.values())), strict=True))
    slips, doubts = [], []
    for slip in checked.slips:
        share = float(shares.get(slip, np.nan))
        if slip.sure and slip.kind == "member missing" and share >= s.drawn:
            doubts.append(f"{slip.says[:-1]} in what was read, but something is drawn along its line.")
            slips.append(replace(slip, sure=False))
        elif slip.sure and slip.kind == "member extra" and share < s.bare:
            doubts.append(f"{slip.says[:-1]} in what was read, but little is drawn along its line.")
            slips.append(replace(slip, sure=False))
        else:
            slips.append(slip)
    return replace(
        checked,
        slips=tuple(slips),
        doubts=(*doubts, *checked.doubts),
        verdict=verdict_of(found, slips),
    )


def _clear(joints: Floats, line: tuple[int, int], s: SecondLookSettings) -> bool:
    """Say whether no other joint lies near a line."""
    start, end = joints[line[0]], joints[line[1]]
    run = end - start
    length = max(float(np.hypot(*run)), 1e-6)
    away = np.delete(joints, list(line), axis=0) - start
    share = away @ run / length**2
    aside = np.abs(run[0] * away[:, 1] - run[1] * away[:, 0]) / length**2
    return not bool(((share > 0) & (share < 1) & (aside < s.clear)).any())
