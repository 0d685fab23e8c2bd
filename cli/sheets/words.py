"""The words printed on overlays and figures, together so that another language can take their place."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ENGLISH", "SheetWords"]


@dataclass(frozen=True)
class SheetWords:
    """Words of one language."""

    tension: str
    compression: str
    zero: str
    unsure: str
    load: str
    reaction: str
    width_scale: str
    """What stands beside the scale of widths; `{unit}` is the force unit."""
    use_scale: str
    """What stands beside the scale of how much of its strength a member uses."""
    first: str
    """Marked as what gives way first."""
    move: str
    """Which way to move a joint."""


ENGLISH = SheetWords(
    tension="tension",
    compression="compression",
    zero="zero-force",
    unsure="sign not certain",
    load="load",
    reaction="reaction",
    width_scale="width shows force in {unit}",
    use_scale="how much of its strength is used",
    first="gives way first",
    move="move the joint this way to hold more for every gram",
)
