"""Labels on plates over a photograph, each where it covers nothing that is drawn and no other label."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from cli.sheets.candidates import PLATE, standing
from cli.sheets.labels import Places, place_labels
from cli.sheets.marks import Mark, Text, plated
from cli.sheets.sizes import Sizes
from cli.sheets.symbols import leader_line

__all__ = ["plated_labels"]


def plated_labels(
    labels: Sequence[tuple[Text, Places]], drawn: NDArray[np.float64], sizes: Sizes
) -> Iterator[Mark]:
    """Yield the marks of labels, with a leader line to each that had to move away.

    Parameters
    ----------
    labels
        Words, and where they may stand.
    drawn : (K, 4, 2) float
        What they must not cover.
    sizes
        Of the drawing.
    """
    placing = place_labels([places for _, places in labels], drawn, sizes.text)
    for (text, places), label in zip(labels, placing.labels, strict=True):
        leader = places.leaders[label.place]
        if np.isfinite(leader).all():
            yield from leader_line(leader, sizes.line, sizes.casing)
        yield from plated(standing(text, places, label.place), PLATE)
