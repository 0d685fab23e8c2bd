"""How large a figure is, as its SVG says."""

from __future__ import annotations

import re

__all__ = ["svg_size"]

_OPENING = re.compile(r"<svg\b[^>]*>")
_SIZE = re.compile(r'\s(width|height)="([0-9.]+)"')


def svg_size(svg: str) -> tuple[float, float]:
    """Return width and height of an SVG document in its own units: points, for figures of a sheet.

    Raises
    ------
    ValueError
        When it does not say them in plain numbers.
    """
    opening = _OPENING.search(svg)
    sizes = dict(_SIZE.findall(opening[0])) if opening else {}
    if sizes.keys() != {"width", "height"}:
        raise ValueError("The figure does not say how large it is: svg needs width and height as numbers.")
    return float(sizes["width"]), float(sizes["height"])
