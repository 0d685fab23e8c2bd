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


ENGLISH = SheetWords(
    tension="tension",
    compression="compression",
    zero="zero-force",
    unsure="sign not certain",
    load="load",
    reaction="reaction",
    width_scale="width shows force in {unit}",
)
