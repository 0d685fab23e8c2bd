"""What people call members and joints: a member by its two ends, either way round."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["names_of"]


def names_of(members: Iterable[tuple[str, str]], joints: Iterable[str] = ()) -> dict[str, str]:
    """Return how members and joints may be written, and how the model has them.

    Examples
    --------
    >>> names_of([("A", "B")], ["A"])
    {'A': 'A', 'B-A': 'A-B', 'A-B': 'A-B'}
    """
    names = {joint: joint for joint in joints}
    for start, end in members:
        names[f"{end}-{start}"] = names[f"{start}-{end}"] = f"{start}-{end}"
    return names
