"""What of a model may be used: nothing that was only guessed from the picture and not confirmed."""

from __future__ import annotations

from dataclasses import dataclass

from cli.model.file import Model

__all__ = ["Trusted", "trusted"]


@dataclass(frozen=True, eq=False)
class Trusted:
    """What of a model may be used by now."""

    model: Model
    dimension_rows: tuple[int, ...]
    """Row in the whole model of each dimension that is used."""


def trusted(model: Model) -> Trusted:
    """Leave out guesses that nobody has confirmed, and arrows whose size is not known."""
    sure = model.confirmed
    rows = tuple(row for row, entry in enumerate(model.dimensions) if sure or entry.confidence is None)
    used = model.model_copy(
        update={
            "supports": tuple(entry for entry in model.supports if sure or entry.confidence is None),
            "loads": tuple(
                entry for entry in model.loads if entry.force and (sure or entry.confidence is None)
            ),
            "dimensions": tuple(model.dimensions[row] for row in rows),
        }
    )
    return Trusted(used, rows)
