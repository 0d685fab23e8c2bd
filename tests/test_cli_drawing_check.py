"""A student's drawing held against the key: what is told, what is drawn, and what is let be."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.drawing_check.check import check_drawing
from cli.drawing_check.job import drawing_text, mark_drawing
from cli.drawing_check.slips import DrawingCheck
from cli.errors import FaultsError
from cli.model_file import Model
from tests.front_door import panelpoint
from tests.pile_pictures import draw_king_post, king_post_model

PLACES = {"P": (0, 0), "Q": (2, 0), "R": (4, 0), "S": (6, 0), "T": (1, 1.5), "U": (3, 1.5), "V": (5, 1.5)}
MEMBERS = ("PQ", "QR", "RS", "TU", "UV", "PT", "TQ", "QU", "UR", "RV", "VS")


def key(**changes: object) -> Model:
    """Return a warren truss of three panels: pin P, roller S, 5 kN down at Q and R."""
    document: dict[str, object] = {
        "format": "panelpoint truss",
        "version": 1,
        "units": {"length": "m", "force": "kN"},
        "joints": [{"name": name, "at": list(place)} for name, place in PLACES.items()],
        "members": [{"joints": list(ends)} for ends in MEMBERS],
        "supports": [{"joint": "P", "kind": "pin"}, {"joint": "S", "kind": "roller"}],
        "loads": [{"joint": "Q", "force": [0, -5]}, {"joint": "R", "force": [0, -5]}],
        **changes,
    }
    return parsed(document)


def parsed(document: dict[str, object]) -> Model:
    """Return a model from plain values."""
    import json  # noqa: PLC0415

    return Model.model_validate_json(json.dumps(document), by_alias=True, by_name=False)


def drawing(
    *,
    members: tuple[str, ...] = MEMBERS,
    places: dict[str, tuple[float, float]] | None = None,
    supports: tuple[tuple[str, str], ...] = (("P", "pin"), ("S", "roller")),
    loads: tuple[tuple[str, float, float], ...] = (("Q", 0, 1), ("R", 0, 1)),
    confidence: float = 0.98,
) -> Model:
    """Return what was read of a sheared sketch of it, under names of its own."""
    shear = np.array([[150.0, 40.0], [20.0, -110.0]])
    at = {name: shear @ place + (200, 600) for name, place in (places or PLACES).items()}
    rename = {name: f"j{row}" for row, name in enumerate(at)}
    return parsed(
        {
            "format": "panelpoint truss",
            "version": 1,
            "confirmed": False,
            "units": {"length": "mm", "force": "N"},
            "joints": [
                {"name": name, "px": at[first].tolist(), "confidence": 0.99}
                for first, name in reversed(rename.items())
            ],
            "members": [{"joints": [rename[a], rename[b]], "confidence": confidence} for a, b in members],
            "supports": [
                {"joint": rename[joint], "kind": kind, "confidence": confidence} for joint, kind in supports
            ],
            "loads": [
                {"joint": rename[joint], "px_direction": [x, y], "confidence": confidence}
                for joint, x, y in loads
            ],
        }
    )


def without(member: str) -> tuple[str, ...]:
    """Return the members without one."""
    return tuple(one for one in MEMBERS if one != member)


def test_a_right_truss_is_right() -> None:
    """Sheared as it is, with its supports and loads; the shear is mentioned and does not count."""
    checked = check_drawing(key(), drawing())
    assert checked.verdict == "right"
    assert checked.slips == ()
    assert checked.doubts == ()
    assert checked.says == ("The truss that was set.", "It is sheared or stretched, as a sketch may be.")
    assert sorted(checked.names) == sorted(PLACES)
    assert checked.names == tuple(reversed(PLACES))


SLIPS = [
    ({"members": without("QU")}, "Member Q-U is missing."),
    ({"members": (*MEMBERS, "TR")}, "Member R-T is too many."),
    ({"supports": (("P", "pin"), ("S", "pin"))}, "A roller was set at S, and a pin is drawn there."),
    ({"supports": (("P", "pin"),)}, "The roller at S is missing."),
    ({"supports": (("P", "pin"), ("R", "roller"))}, "The roller that was set at S is drawn at R."),
    (
        {"supports": (("P", "pin"), ("S", "roller"), ("Q", "roller"))},
        "The roller at Q is too many.",
    ),
    ({"loads": (("Q", 0, 1), ("U", 0, 1))}, "The load that was set at R is drawn at U."),
    ({"loads": (("Q", 0, 1),)}, "The load at R is missing."),
    ({"loads": (("Q", 0, 1), ("R", 1, 0))}, "The load at R points another way than was set."),
    ({"loads": (("Q", 0, 1), ("R", 0, 1), ("T", 0, 1))}, "The load at T is too many."),
    (
        {"places": {name: place for name, place in PLACES.items() if name != "U"},
         "members": tuple(one for one in MEMBERS if "U" not in one)},
        "Joint U is missing, with the members that end there.",
    ),
    (
        {"places": {name: place for name, place in PLACES.items() if name != "U"},
         "members": (*(one for one in MEMBERS if "U" not in one), "TV")},
        "Joint U is missing: T-V runs straight through its place.",
    ),
    (
        {"places": {**PLACES, "X": (2, 1.5)}, "members": (*without("TU"), "TX", "XU")},
        "There is a joint too many on member T-U.",
    ),
    (
        {"places": {**PLACES, "X": (2.1, 2.6)}, "members": (*MEMBERS, "TX", "XU")},
        "There is a joint too many, near U, with the members that end there.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "says"), SLIPS, ids=[says for _, says in SLIPS])
def test_each_slip_is_told_once_and_alone(changes: dict[str, object], says: str) -> None:
    """In the names of the key, and nothing besides."""
    checked = check_drawing(key(), drawing(**changes))
    assert [slip.says for slip in checked.slips] == [says]
    assert checked.verdict == "differs"


def test_what_was_read_with_little_confidence_is_not_held_against_anybody() -> None:
    """A person is asked to look instead."""
    checked = check_drawing(key(), drawing(members=(*MEMBERS, "TR"), confidence=0.4))
    assert checked.verdict == "not sure"
    assert checked.doubts == ("Member R-T is too many. It was read with little confidence.",)
    assert "too many" not in " ".join(checked.says)


def test_what_was_not_seen_is_not_wrong() -> None:
    """Without any support or arrow in the reading, they are for a person to look at."""
    checked = check_drawing(key(), drawing(supports=(), loads=()))
    assert checked.verdict == "right"
    assert checked.doubts == ("No supports and no loads could be read in the picture: look at them.",)


def test_a_reaction_drawn_at_a_support_is_let_be() -> None:
    """It is no load too many."""
    assert check_drawing(key(), drawing(loads=(("Q", 0, 1), ("R", 0, 1), ("P", 0, -1)))).verdict == "right"


def test_a_mirror_image_is_said_to_be_one() -> None:
    """An unsymmetric truss drawn the other way round, its loads with it."""
    lopsided = key(members=[{"joints": list(ends)} for ends in (*MEMBERS, "PU")])
    places = {name: (-x, y) for name, (x, y) in PLACES.items()}
    checked = check_drawing(lopsided, drawing(places=places, members=(*MEMBERS, "PU")))
    assert checked.verdict == "mirror image"
    assert checked.slips == ()


def test_another_truss_is_said_to_be_another() -> None:
    """A single triangle against eleven members."""
    few = {name: PLACES[name] for name in "PQT"}
    checked = check_drawing(key(), drawing(places=few, members=("PQ", "QT", "PT"), supports=(), loads=()))
    assert checked.verdict == "another truss"
    assert checked.found is None


def test_a_shape_far_off_is_for_a_person_to_look_at() -> None:
    """One joint a quarter of the span aside: the right truss, with the joint named."""
    checked = check_drawing(key(), drawing(places={**PLACES, "U": (3.9, 2.6)}))
    assert checked.verdict == "right"
    assert "most at joint U" in checked.doubts[0]


def test_the_photograph_shows_what_is_missing(tmp_path: Path) -> None:
    """From picture to picture: a dashed red line where the post should be, nothing red on a right one."""
    draw_king_post(tmp_path / "right.png")
    draw_king_post(tmp_path / "no-post.png", members=("AB", "BC", "AD", "CD"))
    model = king_post_model(tmp_path / "right.png")
    right = mark_drawing(tmp_path / "right.png", model, kind="png")
    wrong = mark_drawing(tmp_path / "no-post.png", model, kind="png")
    assert right.checked.verdict == "right"
    assert drawing_text(right.checked).startswith("The truss that was set.\n")
    # Without the post nothing shows a joint on the chord.
    assert "Joint B is missing: A-C runs straight through its place." in told(wrong.checked)
    middle = slice(260, 400), slice(380, 420)
    assert red(wrong.picture)[middle].sum() > 100
    assert red(right.picture).sum() == 0


def told(checked: DrawingCheck) -> str:
    """Return all that is told."""
    return drawing_text(checked)


def red(png: bytes) -> np.ndarray:
    """Return where a picture is red."""
    picture = cv2.imdecode(np.frombuffer(png, np.uint8), cv2.IMREAD_COLOR)
    assert picture is not None
    blue, green, strong = (picture[..., channel].astype(int) for channel in range(3))
    return (strong > 120) & (strong > green + 70) & (strong > blue + 70)


def test_a_key_without_members_is_refused(tmp_path: Path) -> None:
    """Nothing can be held against it."""
    draw_king_post(tmp_path / "right.png")
    empty = king_post_model(tmp_path / "right.png", members=[], dimensions=[])
    with pytest.raises(FaultsError, match="no members"):
        mark_drawing(tmp_path / "right.png", empty, kind="png")


def test_a_pile_is_held_against_its_key(tmp_path: Path) -> None:
    """`batch --key`: right, with a member missing, and another truss, each told in the table."""
    pile = tmp_path / "pile"
    pile.mkdir()
    draw_king_post(pile / "ada.png")
    draw_king_post(pile / "ben.png", members=("AB", "BC", "AD", "CD"))
    model = king_post_model(pile / "ada.png")
    key_path = model.rename(tmp_path / "key.truss.json")
    outcome = panelpoint("batch", pile, "--key", key_path, "-o", tmp_path / "out")
    assert outcome.code == 0, outcome.err
    table = (tmp_path / "out" / "table.csv").read_text("utf-8")
    assert "ada.png,The truss that was set," in table
    assert "ben.png,Not quite the truss that was set,yes," in table
    assert "Joint B is missing" in table
