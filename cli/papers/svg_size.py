"""How wide a figure is, as its SVG says."""

from __future__ import annotations

import re

__all__ = ["svg_width"]

_WIDTH = re.compile(r'<svg\b[^>]*?\swidth="(?P<width>[0-9.]+)"')


def svg_width(svg: str) -> float:
    """Return the width of an SVG document in its own units: points, for figures of a sheet.

    Raises
    ------
    ValueError
        When it says none.
    """
    found = _WIDTH.search(svg)
    if found is None:
        raise ValueError("The figure does not say how wide it is: its svg element has no width in numbers.")
    return float(found["width"])
