"""What was read, in words with the joints' names."""

from __future__ import annotations

import pytest

from cli.drawings import separate_drawings
from cli.model.file import Model
from cli.model.parts import JointEntry, LoadEntry, MemberEntry, SupportEntry, UnitsEntry
from cli.reading_words import reading_remarks

SURE, DOUBTED = 0.95, 0.4


def model(joints: dict[str, float | None], members: dict[str, float | None], **more: object) -> Model:
    """Return a model with these confidences."""
    return Model.model_validate(
        {
            "confirmed": False,
            "units": UnitsEntry(length="mm", force="N"),
            "joints": tuple(
                JointEntry(name=name, px=(10.0 * row, 0.0), confidence=sure)
                for row, (name, sure) in enumerate(joints.items())
            ),
            "members": tuple(
                MemberEntry(joints=(pair[0], pair[1]), confidence=sure) for pair, sure in members.items()
            ),
            **more,
        }
    )


@pytest.mark.parametrize(
    ("joints", "members", "said"),
    [
        ({"A": SURE, "B": None, "C": SURE}, {"AB": SURE, "BC": None}, ()),
        ({"A": DOUBTED, "B": SURE, "C": SURE}, {"AB": SURE}, ("Not certain: joint A. Please look.",)),
        ({"A": SURE, "B": SURE}, {"AB": DOUBTED}, ("Not certain: member A-B. Please look.",)),
        (
            {"A": DOUBTED, "B": DOUBTED, "C": DOUBTED},
            {"AB": DOUBTED, "BC": SURE, "AC": DOUBTED},
            ("Not certain: joints A, B and C and members A-B and A-C. Please look.",),
        ),
    ],
)
def test_what_is_not_certain_is_named(
    joints: dict[str, float | None], members: dict[str, float | None], said: tuple[str, ...]
) -> None:
    """Every doubted joint and member is named, and nothing else."""
    assert reading_remarks(model(joints, members), ()) == said


def test_a_reading_full_of_doubt_is_not_listed_to_the_end() -> None:
    """Twelve names, and how many more."""
    names = [chr(ord("A") + row) for row in range(15)]
    (said,) = reading_remarks(model(dict.fromkeys(names, DOUBTED), {"AB": SURE}), ())
    assert said == "Not certain: joints A, B, C, D, E, F, G, H, I, J, K, L and 3 more. Please look."


def test_what_was_seen_beside_the_truss_is_named_and_not_used() -> None:
    """Supports and arrows are named by joint; an arrow's size is asked for; other remarks come last."""
    seen = model(
        {"A": SURE, "B": SURE},
        {"AB": SURE},
        supports=(
            SupportEntry(joint="A", kind="pin", confidence=0.9),
            SupportEntry(joint="B", kind="roller", confidence=0.8),
        ),
        loads=(LoadEntry(joint="B", px_direction=(0.0, 1.0), confidence=0.9),),
    )
    named, last = reading_remarks(seen, ("A crossing.",))
    assert named.startswith(
        "Seen beside the truss: a pin at A, a roller at B and an arrow at B. Confirm them,"
    )
    assert named.endswith("and give each load its size: nothing of it is used before.")
    assert last == "A crossing."
    bare = seen.model_copy(update={"loads": ()})
    assert reading_remarks(bare, ()) == (
        "Seen beside the truss: a pin at A and a roller at B. Confirm them: nothing of it is used before.",
    )


def test_drawings_that_stand_apart_are_named() -> None:
    """The largest is the truss; the joints of every other one are named, whatever their confidence."""
    names = dict.fromkeys("ABCDEFG", SURE)
    two = model(names, dict.fromkeys(["AB", "BC", "AC", "AD", "BD", "EF", "FG", "EG"], SURE))
    assert separate_drawings(two) == (("A", "B", "C", "D"), ("E", "F", "G"))
    assert reading_remarks(two, ()) == (
        "Joints E, F and G are a drawing of their own: delete them if they are not part of your truss.",
    )
    assert separate_drawings(model({"A": SURE, "B": SURE}, {})) == ()
