"""The bundled picture, and what a person confirmed about it."""

from __future__ import annotations

from pathlib import Path

__all__ = ["CONFIRMATION", "PICTURE"]

PICTURE = Path(__file__).parent / "footbridge.jpg"
CONFIRMATION = Path(__file__).parent / "footbridge.truss.json"
