"""Every tolerance of the reading, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["PhotoSettings"]


@dataclass(frozen=True)
class PhotoSettings:
    """What is accepted as a photograph."""

    most_bytes: int = 256_000_000
    """Bytes of the file. Phones write at most some 30 MB; a doubled limit only costs memory."""
    most_pixels: int = 200_000_000
    """Pixels, checked before decoding: the largest phone sensors have 200 million, 600 MB as colour."""
    least_side: int = 48
    """Pixels of the shorter side. Below, a member of a four-panel truss is shorter than a dozen pixels."""
