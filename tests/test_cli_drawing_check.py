"""A student's drawing held against the key: what is told, what is drawn, and what is let be."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.drawing_check.check import check_drawing
from cli.drawing_check.second_look import second_look
from cli.model.file import Model
from tests.front_door import assert_refused, panelpoint, three_bars, write_model
from tests.pile_pictures import KING_POST, draw_king_post, king_post_model
from vision import load_photo

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
    if says in {"The roller at S is missing.", "The load at R is missing."}:
        assert checked.verdict == "not sure", "perhaps it was only not seen"
        assert checked.doubts[0] == f"{says} Perhaps it was only not seen."
    else:
        assert checked.verdict == "differs"


def test_what_was_read_with_little_confidence_is_not_held_against_anybody() -> None:
    """A person is asked to look instead."""
    checked = check_drawing(key(), drawing(members=(*MEMBERS, "TR"), confidence=0.4))
    assert checked.verdict == "not sure"
    assert checked.doubts == ("Member R-T is too many. It was read with little confidence.",)
    assert "too many" not in " ".join(checked.says)


def test_ink_where_no_member_was_read_is_left_to_a_person(tmp_path: Path) -> None:
    """The photograph is asked before a member is called missing or too many."""
    draw_king_post(tmp_path / "whole.png")
    draw_king_post(tmp_path / "no-post.png", members=("AB", "BC", "AD", "CD"))
    document = {"joints": [{"name": name, "px": list(place)} for name, place in KING_POST.items()]}
    head = {"format": "panelpoint truss", "version": 1, "units": {"length": "mm", "force": "N"}}
    members = ("AB", "BC", "AD", "CD", "BD")
    with_post, without_post = (
        parsed({**head, **document, "members": [{"joints": list(ends)} for ends in some]})
        for some in (members, members[:-1])
    )
    as_set = with_post.model_copy(
        update={
            "joints": tuple(
                joint.model_copy(update={"at": (joint.px[0], -joint.px[1])}) for joint in with_post.joints
            )
        }
    )
    only_four = as_set.model_copy(update={"members": as_set.members[:-1]})
    whole, no_post = load_photo(tmp_path / "whole.png"), load_photo(tmp_path / "no-post.png")
    overlooked = second_look(whole, without_post, check_drawing(as_set, without_post))
    assert overlooked.verdict == "not sure"
    assert overlooked.doubts == (
        "Member B-D is missing in what was read, but something is drawn along its line.",
    )
    assert second_look(no_post, without_post, check_drawing(as_set, without_post)).verdict == "differs"
    imagined = second_look(no_post, with_post, check_drawing(only_four, with_post))
    assert imagined.verdict == "not sure"
    assert second_look(whole, with_post, check_drawing(only_four, with_post)).verdict == "differs"


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
    out = tmp_path / "marked"
    right = panelpoint("mark", "--drawing", tmp_path / "right.png", model, "-o", out)
    wrong = panelpoint("mark", "--drawing", tmp_path / "no-post.png", model, "-o", out)
    assert right.text.startswith("The truss that was set.\n"), right
    assert wrong.code == 0, wrong
    # Without the post nothing shows a joint on the chord.
    assert "Joint B is missing: A-C runs straight through its place." in wrong.text
    middle = slice(260, 400), slice(380, 420)
    assert red(out / "no-post-checked.png")[middle].sum() > 100
    assert red(out / "right-checked.png").sum() == 0
    assert_refused(panelpoint("mark", "--drawing", tmp_path / "right.png", model, "-o", out), "--force")


def test_a_drawing_as_json(tmp_path: Path) -> None:
    """For programs: verdict, slips and measures."""
    draw_king_post(tmp_path / "right.png")
    model = king_post_model(tmp_path / "right.png")
    document = panelpoint("mark", "--drawing", tmp_path / "right.png", model, "--json").document
    assert document["verdict"] == "right"
    assert document["slips"] == []
    assert document["shape_off"] < 0.01
    assert sorted(document["joints"]) == ["A", "B", "C", "D"]


def red(path: Path) -> np.ndarray:
    """Return where a picture is red."""
    picture = cv2.imread(str(path))
    assert picture is not None
    blue, green, strong = (picture[..., channel].astype(int) for channel in range(3))
    return (strong > 120) & (strong > green + 70) & (strong > blue + 70)


def test_a_key_without_members_is_refused(tmp_path: Path) -> None:
    """Nothing can be held against it."""
    draw_king_post(tmp_path / "right.png")
    empty = king_post_model(tmp_path / "right.png", members=[], dimensions=[])
    assert_refused(panelpoint("mark", "--drawing", tmp_path / "right.png", empty), "no members")
    assert_refused(panelpoint("batch", tmp_path, "--key", empty, "-o", tmp_path / "out"), "no members")


def test_a_pile_is_held_against_its_key(tmp_path: Path) -> None:
    """`batch --key`: right, with a member missing, and another truss, each told in the table."""
    pile = tmp_path / "pile"
    pile.mkdir()
    draw_king_post(pile / "ada.png")
    draw_king_post(pile / "ben.png", members=("AB", "BC", "AD", "CD"))
    model = king_post_model(pile / "ada.png")
    key_path = model.rename(tmp_path / "key.truss.json")
    draw_king_post(pile / "cleo.png")
    # What a person confirmed of a drawing counts, and not what would be read again.
    king_post_model(
        pile / "cleo.png", supports=[{"joint": "A", "kind": "pin"}, {"joint": "B", "kind": "roller"}]
    )
    outcome = panelpoint("batch", pile, "--key", key_path, "-o", tmp_path / "out")
    assert outcome.code == 0, outcome.err
    table = (tmp_path / "out" / "table.csv").read_text("utf-8")
    assert "ada.png,The truss that was set," in table
    assert "ben.png,Not quite the truss that was set,yes," in table
    assert "Joint B is missing" in table
    assert "cleo.png,Not quite the truss that was set,yes," in table
    assert "The roller that was set at C is drawn at B." in table


def test_answers_in_the_pile_are_marked(tmp_path: Path) -> None:
    """Files of answers get a folder of marks each; one that cannot be read stops nothing; nothing twice."""
    pile = tmp_path / "pile"
    pile.mkdir()
    model = write_model(tmp_path, three_bars())
    answers = "student,A x,A y,B y,A-B,A-C,B-C\nAda,0,6,6,8 T,10 C,10 C\nBen,0,6,6,8 T,10 C,what\n"
    (pile / "class.csv").write_text(answers, "utf-8")
    (pile / "broken.csv").write_bytes(b"\xff\xfe\x00")
    out = tmp_path / "out"
    outcome = panelpoint("batch", pile, "--key", model, "-o", out)
    assert outcome.code == 0, outcome.err
    table = (out / "table.csv").read_text("utf-8")
    assert 'class.csv,Marked,yes,,,"1 answer could not be read: told' in table
    assert "broken.csv,Answers not marked,yes" in table
    assert "Ada" in (out / "marks" / "class.csv" / "marks.csv").read_text("utf-8")
    assert 'href="marks/class.csv/"' in (out / "report.html").read_text("utf-8")
    again = panelpoint("batch", pile, "--key", model, "-o", out)
    assert "2 of them were done before" in again.err
    names = tmp_path / "who.csv"
    private = panelpoint("batch", pile, "--key", model, "-o", tmp_path / "private", "--pseudonyms", names)
    assert private.code == 0, private.err
    again = panelpoint("batch", pile, "--key", model, "-o", tmp_path / "private", "--pseudonyms", names)
    assert "2 of them were done before" in again.err
    everything = [*(tmp_path / "private").rglob("*")]
    assert not any("Ada" in path.name for path in everything)
    assert not any(b"Ada" in path.read_bytes() for path in everything if path.is_file())
