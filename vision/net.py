"""A graph of places being worked on: the one thing in this package that changes while it is used."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from vision.segments import Strokes
from vision.symbols import Mark

__all__ = ["Net"]


class Net:
    """Places with neighbours, some of them marked by a circle or dot.

    Places are numbered: first the nodes of the strokes, then, from `first_mark` on, the marks. A place
    without neighbours is out of use.
    """

    def __init__(self, strokes: Strokes, marks: tuple[Mark, ...]) -> None:
        self.at: list[NDArray[np.float64]] = [np.asarray(place, np.float64) for place in strokes.nodes]
        self.mark: list[Mark | None] = [None] * len(self.at)
        self.near: list[set[int]] = [set() for _ in self.at]
        for start, end in strokes.edges:
            self.link(start, end)
        self.first_mark = len(self.at)
        for mark in marks:
            self.at.append(np.array([mark.x, mark.y]))
            self.mark.append(mark)
            self.near.append(set())

    def link(self, start: int, end: int) -> None:
        """Put a stroke between two places."""
        if start != end:
            self.near[start].add(end)
            self.near[end].add(start)

    def cut(self, start: int, end: int) -> None:
        """Take the stroke between two places away, if there is one."""
        self.near[start].discard(end)
        self.near[end].discard(start)

    def merge(self, gone: int, into: int) -> None:
        """Let every stroke that ended at `gone` end at `into`."""
        for other in tuple(self.near[gone]):
            self.cut(gone, other)
            self.link(into, other)

    def edges(self) -> list[tuple[int, int]]:
        """Give the strokes, smaller place first, sorted."""
        return [(a, b) for a, near in enumerate(self.near) for b in sorted(near) if a < b]

    def places(self) -> list[int]:
        """Give the places in use."""
        return [place for place, near in enumerate(self.near) if near]

    def loose(self) -> list[int]:
        """Give the unmarked places where a single stroke ends."""
        return [n for n, near in enumerate(self.near) if len(near) == 1 and self.mark[n] is None]

    def length(self, start: int, end: int) -> float:
        """Give the distance of two places, working pixels."""
        return float(np.hypot(*(self.at[start] - self.at[end])))

    def heading(self, end: int) -> NDArray[np.float64]:
        """Give the unit vector in which the stroke points beyond its loose end."""
        (other,) = self.near[end]
        along = self.at[end] - self.at[other]
        return np.asarray(along / max(float(np.hypot(*along)), 1e-9), np.float64)

    def core(self) -> list[int]:
        """Give the places of the largest part in which each has two neighbours or more."""
        near = [set(others) for others in self.near]
        waiting = [n for n, others in enumerate(near) if len(others) == 1]
        while waiting:
            end = waiting.pop()
            if len(near[end]) != 1:
                continue
            (other,) = near[end]
            near[end].clear()
            near[other].discard(end)
            waiting.append(other)
        return [n for n, others in enumerate(near) if others]

    def parts(self, *, without: int | None = None) -> list[set[tuple[int, int]]]:
        """Give the connected parts as sets of strokes, longest part first.

        Parameters
        ----------
        without
            A place at which the net is thought cut; the strokes that end there go with their other end.
        """
        edges = self.edges()
        links = np.array([edge for edge in edges if without not in edge], int).reshape(-1, 2)
        graph = coo_array((np.ones(len(links)), (links[:, 0], links[:, 1])), shape=(len(self.at),) * 2)
        _, label = connected_components(graph, directed=False)
        found: dict[int, set[tuple[int, int]]] = {}
        for a, b in edges:
            found.setdefault(int(label[b if a == without else a]), set()).add((a, b))
        return sorted(found.values(), key=lambda part: -sum(self.length(a, b) for a, b in part))
