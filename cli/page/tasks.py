"""The few things that turn a picture into forces, and what of them is done."""

from __future__ import annotations

from cli.model.file import Model
from cli.page.answer_types import Answer
from cli.page.look_types import Look, Task

__all__ = ["tasks_of"]


def tasks_of(model: Model, looks: tuple[Look, ...], answer: Answer) -> tuple[Task, ...]:
    """Return what turns this picture into forces, in order, and what of it is done."""
    used = model.confirmed
    supports = [entry for entry in model.supports if used or entry.confidence is None]
    loads = [entry for entry in model.loads if entry.force and (used or entry.confidence is None)]
    loaded = bool(loads or model.deck_loads or model.self_weight)
    left = len(looks)
    return (
        Task(
            key="reading",
            label="Joints and members",
            done=bool(model.members) and not left,
            words="Nothing left to look at."
            if model.members and not left
            else f"{left} to look at."
            if model.members
            else "Draw the members from joint to joint.",
        ),
        Task(
            key="supports",
            label="Supports",
            done=bool(supports),
            words=", ".join(f"{entry.kind} at {entry.joint}" for entry in supports)
            or "Choose what holds it.",
        ),
        Task(
            key="loads",
            label="Loads",
            done=loaded,
            words=_load_words(model, len(loads)) if loaded else "Drag an arrow from a joint.",
        ),
        Task(
            key="lengths",
            label="One length",
            done=answer.has_lengths,
            words="Lengths are known."
            if answer.has_lengths
            else "Forces need none. Give one for true lengths and self-weight.",
        ),
    )


def _load_words(model: Model, count: int) -> str:
    parts = []
    if count:
        parts.append("1 load" if count == 1 else f"{count} loads")
    if model.deck_loads:
        parts.append("a deck load")
    if model.self_weight:
        parts.append("self-weight")
    return ", ".join(parts)
