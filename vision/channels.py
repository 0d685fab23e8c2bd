"""What each map of the network means; the runtime and the training share this list."""

from __future__ import annotations

__all__ = [
    "CHANNELS",
    "DIRECTIONS",
    "FAR",
    "HEAD",
    "JOINT",
    "LINES",
    "OTHER",
    "PIN",
    "ROLLER",
    "SHAFT",
    "STRIDE",
]

STRIDE = 4
"""Picture pixels per cell of a map."""
DIRECTIONS = 8
"""Oriented line maps, 22.5 degrees apart: bin k stands for a line at k * 22.5 degrees, x right, y down."""
JOINT = 0
LINES = slice(1, 1 + DIRECTIONS)
PIN, ROLLER, SHAFT, HEAD, OTHER, FAR = range(1 + DIRECTIONS, 7 + DIRECTIONS)
CHANNELS = 7 + DIRECTIONS
