"""Drawings in one model that hang together by their members."""

from __future__ import annotations

from cli.model.file import Model

__all__ = ["separate_drawings"]


def separate_drawings(model: Model) -> tuple[tuple[str, ...], ...]:
    """Return the names of the joints of each drawing, the one with most members first.

    Joints without a member belong to none.
    """
    group = {name: name for name in model.names}

    def root(name: str) -> str:
        while group[name] != name:
            name = group[name]
        return name

    for member in model.members:
        start, end = (root(name) for name in member.joints)
        group[end] = start
    counts: dict[str, int] = {}
    for member in model.members:
        counts[root(member.joints[0])] = counts.get(root(member.joints[0]), 0) + 1
    largest = sorted(counts, key=lambda name: -counts[name])
    return tuple(tuple(name for name in model.names if root(name) == first) for first in largest)
