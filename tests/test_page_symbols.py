"""What was seen beside the truss, on the page: asked about, drawn as a guess, and settled with one button."""

from __future__ import annotations

from typing import Any

import pytest

from cli.model.file import Model
from cli.page.answer import answer_of
from cli.page.edits.drawings import AcceptDrawing, DeleteDrawing
from cli.page.edits.forces import ChangeLoad
from cli.page.edits.looks import AcceptAll, AcceptSupport
from cli.page.errors import EditError
from cli.page.look_types import Look
from cli.page.looks import looks_of


def read_model() -> Model:
    """Return a triangle as read: a pin, a roller and an arrow seen, and a second triangle beside it."""
    places = {
        "A": (0, 300),
        "B": (400, 300),
        "C": (200, 100),
        "D": (600, 300),
        "E": (700, 300),
        "F": (650, 200),
    }
    document: dict[str, Any] = {
        "confirmed": False,
        "units": {"length": "mm", "force": "N"},
        "joints": [{"name": name, "px": at, "confidence": 0.95} for name, at in places.items()],
        "members": [{"joints": pair, "confidence": 0.9} for pair in ("AB", "AC", "BC", "DE", "DF", "EF")],
        "supports": [
            {"joint": "A", "kind": "pin", "confidence": 0.9},
            {"joint": "B", "kind": "roller", "confidence": 0.8},
        ],
        "loads": [{"joint": "C", "px_direction": (0, 1), "confidence": 0.9}],
    }
    document["members"] = [{**m, "joints": tuple(m["joints"])} for m in document["members"]]
    for part in ("joints", "members", "supports", "loads"):
        document[part] = tuple(document[part])
    return Model.model_validate(document, strict=False)


def asked(model: Model) -> dict[str, Look]:
    """Return the looks by key."""
    return {look.key: look for look in looks_of(model, answer_of(model))}


def test_everything_seen_is_asked_about_and_nothing_is_used() -> None:
    """Supports, the arrow's size and the drawing beside are on the list; no force comes of guesses."""
    looks = asked(read_model())
    assert {"support A", "support B", "unsized load C 0", "apart D"} <= set(looks)
    assert looks["apart D"].sentence == (
        "Joints D, E and F are a drawing of their own. Do they belong to your truss?"
    )
    assert [cure.label for cure in looks["support B"].cures] == ["Yes, a roller", "No, a pin", "No support"]
    assert not any(member.force for member in answer_of(read_model()).members)


def test_answers_one_by_one_lead_to_forces() -> None:
    """Delete the other drawing, accept the supports, give the size: forces, and no questions left."""
    model = DeleteDrawing(joints=("D", "E", "F")).apply(read_model())
    assert model.names == ("A", "B", "C")
    for joint in ("A", "B"):
        model = AcceptSupport(joint=joint).apply(model)
    with pytest.raises(EditError, match="seen, but not its size"):
        AcceptAll().apply(model)
    model = ChangeLoad(row=0, force=(0, -40)).apply(model)
    assert asked(model) == {}
    forces = [member.force for member in answer_of(model).members]
    assert len(forces) == 3
    assert all(forces)


def test_a_drawing_that_belongs_to_the_truss_is_asked_about_once() -> None:
    """Accepting it takes the doubt off its joints and members, and off nothing else."""
    model = AcceptDrawing(joints=("D", "E", "F")).apply(read_model())
    assert "apart D" not in asked(model)
    assert [joint.name for joint in model.joints if joint.confidence is None] == ["D", "E", "F"]
    assert sum(member.confidence is None for member in model.members) == 3


def test_a_drawing_that_is_gone_is_told() -> None:
    """Nothing is deleted by halves."""
    for edit in (DeleteDrawing(joints=("D", "Z")), AcceptDrawing(joints=("D", "Z"))):
        with pytest.raises(EditError, match="no joint"):
            edit.apply(read_model())
        assert "drawing of 2 joints" in edit.says()
