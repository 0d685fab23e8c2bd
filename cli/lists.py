"""Lists of names within a sentence."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["listed"]


def listed(
    names: Sequence[str], *, last: str = " and ", separator: str = ", ", most: int | None = None
) -> str:
    """List names with another word before the last, and only count those of a long list's end.

    Parameters
    ----------
    names
        In order; nothing is said of none.
    last
        What stands before the last, blanks included.
    separator
        What stands between the others.
    most
        How many are named at most; all by default. The count of the rest is in English.

    Examples
    --------
    >>> listed(["A", "B", "C"])
    'A, B and C'
    >>> listed(["A-B", "B-C"], last=" or ")
    'A-B or B-C'
    >>> listed(["A", "B", "C", "D"], most=2)
    'A, B and 2 more'
    """
    if most is not None and len(names) > most:
        names = [*names[:most], f"{len(names) - most} more"]
    head = separator.join(names[:-1])
    return f"{head}{last}{names[-1]}" if head else "".join(names)
