"""The document: edits are pure, undo is unlimited and outlives a crash, nothing is overwritten unsaid."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from page_models import king_post
from pydantic import TypeAdapter

from cli.model.file import Model, dumps, load, save
from cli.page.answer import answer_of
from cli.page.document import Document
from cli.page.edits import AnyEdit, Edit
from cli.page.errors import ChangedOnDiskError, EditError, StaleError
from cli.page.journal import journal_path

ROOT = Path(__file__).parent.parent
EDITS: TypeAdapter[Edit] = TypeAdapter(AnyEdit)


def edit(**fields: object) -> Edit:
    """Return an edit as it comes over the wire."""
    return EDITS.validate_json(json.dumps(fields))


def opened(tmp_path: Path, model: Model | None = None) -> Document:
    """Return a document of the king post."""
    return Document(tmp_path / "king.truss.json", model or king_post())


def apply(model: Model, **fields: object) -> Model:
    """Return the model after an edit."""
    return edit(**fields).apply(model)


def test_splitting_a_member_puts_two_in_its_place() -> None:
    """The new joint takes the next free letter and the pieces keep the stock."""
    after = apply(king_post(), kind="add-joint", at=[150, 112.5], split=["A", "D"])
    assert after.names == ("A", "B", "C", "D", "E")
    assert [member.joints for member in after.members] == [
        ("A", "B"),
        ("B", "C"),
        ("A", "E"),
        ("E", "D"),
        ("C", "D"),
        ("B", "D"),
    ]


def test_deleting_a_joint_takes_whatever_hangs_on_it() -> None:
    """Members, supports, loads, deck joints and dimensions go; the rest stays."""
    model = king_post(
        deck_loads=[{"joints": ["A", "B", "C"], "force": [0, -1]}],
        dimensions=[{"kind": "along", "from": "A", "to": "B", "value": 300}],
        level=["A", "B"],
    )
    after = apply(model, kind="delete-joint", joint="B")
    assert after.names == ("A", "C", "D")
    assert [member.joints for member in after.members] == [("A", "D"), ("C", "D")]
    assert (after.loads, after.dimensions, after.level) == ((), (), None)
    assert after.deck_loads[0].joints == ("A", "C")


def test_renaming_reaches_every_place() -> None:
    """No part of the model keeps the old name."""
    model = king_post(
        deck_loads=[{"joints": ["A", "B"], "force": [0, -1]}],
        dimensions=[{"kind": "up", "from": "B", "to": "D", "value": 225}],
        level=["A", "B"],
    )
    after = apply(model, kind="rename-joint", joint="B", name="mid")
    assert '"B"' not in dumps(after)
    assert dumps(after).count('"mid"') == dumps(model).count('"B"')


def test_joints_are_named_anew_in_reading_order() -> None:
    """After D was taken away and others put on, the bottom row is A, B, C and the top D; loads go along."""
    mixed = apply(king_post(), kind="rename-joint", joint="B", name="Z9")
    mixed = apply(mixed, kind="rename-joint", joint="A", name="D2")
    after = apply(mixed, kind="name-joints")
    assert after.names == ("A", "B", "C", "D")
    assert after.loads[0].joint == "B"
    assert dumps(after) == dumps(king_post())


def test_merging_joints_drops_doubled_and_empty_members() -> None:
    """B into A: A-B disappears, B-C and B-D become A-C and A-D, and A-D is not doubled."""
    after = apply(king_post(), kind="merge-joints", joint="B", into="A")
    assert [member.joints for member in after.members] == [("A", "C"), ("A", "D"), ("C", "D")]
    assert after.loads[0].joint == "A"


def test_members_that_only_cross_lose_their_joint() -> None:
    """An X read with a joint in its middle becomes two members; saying that they meet brings it back."""
    cross = king_post(
        joints=[
            {"name": name, "at": at}
            for name, at in {"A": [0, 0], "B": [4, 0], "C": [4, 4], "D": [0, 4], "X": [2, 2.1]}.items()
        ],
        members=[{"joints": list(pair)} for pair in ("AX", "XC", "BX", "XD", "AB")],
        supports=[],
        loads=[],
    )
    after = apply(cross, kind="cross-members", joint="X")
    assert {frozenset(member.joints) for member in after.members} == {
        frozenset("AC"),
        frozenset("BD"),
        frozenset("AB"),
    }
    back = apply(after, kind="meet-members", first=["A", "C"], second=["B", "D"], at=[2, 2])
    assert len(back.joints) == 5
    assert len(back.members) == 5


def test_members_that_bend_cannot_only_cross() -> None:
    """At D two members meet at an angle: the refusal says why."""
    with pytest.raises(EditError, match="do not go straight through"):
        apply(king_post(), kind="cross-members", joint="D")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"kind": "add-member", "start": "A", "end": "A"}, "two joints"),
        ({"kind": "add-member", "start": "B", "end": "A"}, "there already"),
        ({"kind": "add-member", "start": "A", "end": "Q"}, 'no joint "Q"'),
        ({"kind": "rename-joint", "joint": "A", "name": "B"}, "already"),
        ({"kind": "rename-joint", "joint": "A", "name": "a b"}, "without blanks"),
        ({"kind": "move-joint", "joint": "A", "at": [300, 0]}, "merge A into B"),
        ({"kind": "move-joint", "joint": "A", "px": [3, 0]}, "no picture"),
        ({"kind": "add-load", "joint": "A", "force": [0, 0]}, "no load"),
        ({"kind": "remove-load", "row": 7}, "not there any more"),
        ({"kind": "remove-dimension", "row": 0}, "not there any more"),
        ({"kind": "put-dimension", "dimension": "angle", "start": "A", "end": "D", "value": 100}, "80"),
        ({"kind": "put-deck-load", "joints": ["A", "A"], "force": [0, -1]}, "twice"),
        ({"kind": "split-member", "start": "A", "end": "B", "joint": "B"}, "end of member"),
        ({"kind": "put-stock", "stock": "wood"}, "give material, shape and size"),
        ({"kind": "put-stock", "stock": "jelly 3 x 3 mm"}, "no material .jelly."),
    ],
)
def test_an_edit_that_makes_no_sense_says_so(change: dict[str, object], words: str) -> None:
    """The refusal names what is in the way; the model stays as it was."""
    model = king_post()
    before = dumps(model)
    with pytest.raises(EditError, match=words):
        apply(model, **change)
    assert dumps(model) == before


def test_a_stock_in_words_goes_on_one_member_or_on_all() -> None:
    """New words are listed as a stock, a stock that is there is taken by its name, and both can go again."""
    stocked = apply(king_post(), kind="put-stock", stock="birch  10 x 2 mm")
    assert {member.stock for member in stocked.members} == {"birch 10 x 2 mm"}
    assert stocked.stocks["birch 10 x 2 mm"].thickness == 2
    doubled = apply(stocked, kind="put-stock", stock="birch 10 x 2 mm, 2 glued", members=[["D", "A"]])
    assert [member.stock for member in doubled.members].count("birch 10 x 2 mm, 2 glued") == 1
    assert doubled.members[2].stock == "birch 10 x 2 mm, 2 glued"
    back = apply(doubled, kind="put-stock", stock="birch 10 x 2 mm")
    assert {member.stock for member in back.members} == {"birch 10 x 2 mm"}
    left = apply(doubled, kind="remove-stock", members=[["A", "D"]])
    assert left.members[2].stock is None
    answer = answer_of(left)
    assert answer.strength is not None
    assert answer.strength.sentence == "Say what the others are made of, too: A–D."
    assert answer_of(king_post()).strength is None


def test_units_are_converted_or_only_renamed() -> None:
    """Converted, forces and lengths are the same in other numbers; kept, the numbers are the same."""
    model = apply(king_post(self_weight=0.002), kind="put-stock", stock="birch 10 x 2 mm")
    model = apply(model, kind="put-deck-load", joints=["A", "B"], force=[0, -0.05])
    inches = apply(model, kind="convert-units", length="in", force="lbf")
    # 1 in is 25.4 mm and 1 lbf 4.4482216152605 N, both exact by definition.
    assert inches.joints[2].at == pytest.approx((600 / 25.4, 0), rel=1e-11)
    assert inches.loads[0].force == pytest.approx((0, -40 / 4.4482216152605), rel=1e-11)
    assert inches.deck_loads[0].force[1] == pytest.approx(-0.05 * 25.4 / 4.4482216152605, rel=1e-11)
    assert inches.stocks["birch 10 x 2 mm"].width == pytest.approx(10 / 25.4, rel=1e-11)
    before, after = answer_of(model), answer_of(inches)
    for one, other in zip(before.members, after.members, strict=True):
        assert other.force == pytest.approx((one.force or 0) / 4.4482216152605, rel=1e-9)
    back = apply(inches, kind="convert-units", length="mm", force="N")
    assert dumps(back) == dumps(model)
    kept = apply(model, kind="set-units", length="in", force="lbf")
    assert kept.joints == model.joints
    assert kept.units.length == "in"


def test_a_hand_typed_place_follows_its_joint_in_the_picture() -> None:
    """With places typed by hand and no dimensions, moving a joint in the picture moves its place alike."""
    joints = {"A": [0, 0], "B": [300, 0], "C": [600, 0], "D": [300, 225]}
    model = king_post(
        picture={"file": "a.jpg", "sha256": "0" * 64, "width": 800, "height": 560},
        joints=[{"name": name, "at": at, "px": [100 + at[0], 400 - at[1]]} for name, at in joints.items()],
    )
    after = apply(model, kind="move-joint", joint="D", px=[410, 150])
    assert after.joints[3].at == pytest.approx((310, 250), abs=1e-9)


def test_every_edit_is_saved_and_can_be_undone(tmp_path: Path) -> None:
    """The file is the model after each step, and undo leads back to the first byte."""
    document = opened(tmp_path)
    first = document.path.read_bytes()
    for number, change in enumerate(
        (
            edit(kind="move-joint", joint="D", at=[300, 250]),
            edit(kind="add-load", joint="D", force=[5, 0]),
            edit(kind="delete-member", start="A", end="D"),
        ),
        start=1,
    ):
        snapshot = document.apply(change, number)
        assert load(document.path) == snapshot.model
    assert snapshot.undo_says == "Delete member A-D"
    for _ in range(3):
        snapshot = document.undo(document.now().revision)
    assert document.path.read_bytes() == first
    assert (snapshot.undo_says, snapshot.redo_says) == (None, "Move joint D")


def test_undo_survives_a_restart(tmp_path: Path) -> None:
    """A new process finds the history beside the model file."""
    document = opened(tmp_path)
    document.apply(edit(kind="set-title", title="One"), 1)
    document.apply(edit(kind="set-title", title="Two"), 2)
    document.undo(3)
    again = Document(document.path)
    assert again.now().model.title == "One"
    assert again.now().redo_says == "Change the title"
    assert again.undo(1).model.title is None
    assert again.redo(2).model.title == "One"
    assert again.redo(3).model.title == "Two"


def test_a_new_edit_after_undo_ends_the_other_branch(tmp_path: Path) -> None:
    """What was undone is gone for good, in the journal too."""
    document = opened(tmp_path)
    document.apply(edit(kind="set-title", title="One"), 1)
    document.undo(2)
    document.apply(edit(kind="set-title", title="Other"), 3)
    again = Document(document.path)
    assert again.now().redo_says is None
    assert again.undo(1).model.title is None
    assert again.redo(2).model.title == "Other"


def test_a_torn_journal_costs_nothing_but_its_last_line(tmp_path: Path) -> None:
    """Half a line at the end, as a crash leaves it, is dropped; later steps are kept again."""
    document = opened(tmp_path)
    document.apply(edit(kind="set-title", title="One"), 1)
    journal = journal_path(document.path)
    journal.write_bytes(journal.read_bytes() + b'{"state": {"for')
    again = Document(document.path)
    again.apply(edit(kind="set-title", title="Two"), 1)
    third = Document(document.path)
    assert [third.undo(n).model.title for n in (1, 2)] == ["One", None]


def test_a_second_tab_is_told(tmp_path: Path) -> None:
    """An edit made on an older revision changes nothing."""
    document = opened(tmp_path)
    document.apply(edit(kind="set-title", title="First tab"), 1)
    with pytest.raises(StaleError, match="another tab"):
        document.apply(edit(kind="set-title", title="Second tab"), 1)
    assert load(document.path).title == "First tab"


def test_a_file_changed_elsewhere_is_never_overwritten(tmp_path: Path) -> None:
    """Neither edit nor undo writes over it; either version can be chosen and the other is one undo away."""
    document = opened(tmp_path)
    document.apply(edit(kind="set-title", title="Mine"), 1)
    save(document.path, king_post(title="Theirs"))
    assert document.changed_on_disk()
    with pytest.raises(ChangedOnDiskError):
        document.apply(edit(kind="set-title", title="More"), 2)
    with pytest.raises(ChangedOnDiskError):
        document.undo(2)
    assert load(document.path).title == "Theirs"
    taken = document.take_disk()
    assert taken.model.title == "Theirs"
    assert document.undo(taken.revision).model.title == "Mine"
    save(document.path, king_post(title="Theirs again"))
    kept = document.keep_mine()
    assert load(document.path).title == kept.model.title == "Mine"
    assert document.undo(kept.revision).model.title == "Theirs again"


def test_a_file_changed_while_the_page_was_closed_is_a_step_of_the_history(tmp_path: Path) -> None:
    """The file counts; the last state of the page is one undo away."""
    document = opened(tmp_path)
    document.apply(edit(kind="set-title", title="Mine"), 1)
    save(document.path, king_post(title="By hand"))
    again = Document(document.path)
    assert again.now().model.title == "By hand"
    assert again.undo(1).model.title == "Mine"


NAMES = st.sampled_from(["A", "B", "C", "D", "E", "F", "x", "", "a b"])
NUMBERS = st.one_of(st.integers(-700, 700), st.floats(-1e6, 1e6))
PAIRS = st.lists(NUMBERS, min_size=2, max_size=2)
CHANGES = st.one_of(
    st.fixed_dictionaries({"kind": st.just("add-joint"), "at": PAIRS}),
    st.fixed_dictionaries({"kind": st.just("add-joint"), "at": PAIRS, "join": NAMES}),
    st.fixed_dictionaries({"kind": st.just("move-joint"), "joint": NAMES, "at": PAIRS}),
    st.fixed_dictionaries({"kind": st.just("delete-joint"), "joint": NAMES}),
    st.fixed_dictionaries({"kind": st.just("cross-members"), "joint": NAMES}),
    st.fixed_dictionaries({"kind": st.just("rename-joint"), "joint": NAMES, "name": NAMES}),
    st.fixed_dictionaries({"kind": st.just("merge-joints"), "joint": NAMES, "into": NAMES}),
    st.fixed_dictionaries(
        {"kind": st.sampled_from(["add-member", "delete-member"]), "start": NAMES, "end": NAMES}
    ),
    st.fixed_dictionaries(
        {"kind": st.just("put-support"), "joint": NAMES, "support": st.sampled_from(["pin", "roller"])}
    ),
    st.fixed_dictionaries({"kind": st.just("add-load"), "joint": NAMES, "force": PAIRS}),
    st.fixed_dictionaries({"kind": st.just("remove-load"), "row": st.integers(0, 4)}),
    st.fixed_dictionaries(
        {
            "kind": st.just("put-dimension"),
            "dimension": st.sampled_from(["across", "up", "along", "angle"]),
            "start": NAMES,
            "end": NAMES,
            "value": st.floats(0, 1000),
        }
    ),
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(CHANGES, max_size=12))
def test_undo_undoes_whatever_was_done(tmp_path: Path, changes: list[dict[str, object]]) -> None:
    """Any run of edits, allowed or refused, leads back to the first state and forth to the last."""
    path = tmp_path / "any.truss.json"
    journal_path(path).unlink(missing_ok=True)
    document = Document(path, king_post())
    states = [document.now().model]
    for change in changes:
        try:
            made = EDITS.validate_json(json.dumps(change))
        except ValueError:
            continue
        revision = document.now().revision
        try:
            snapshot = document.apply(made, revision)
        except EditError:
            continue
        if snapshot.revision > revision:
            states.append(snapshot.model)
    for state in reversed(states[:-1]):
        assert document.undo(document.now().revision).model == state
    for state in states[1:]:
        assert document.redo(document.now().revision).model == state
    assert load(path) == states[-1]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="killing a process in the middle of a save needs fork")
def test_killed_while_saving_the_file_is_the_state_before_or_after(tmp_path: Path) -> None:
    """Two hundred kills (SIGKILL) at random moments: the file is whole, at most one edit behind or ahead."""
    result = subprocess.run(
        [sys.executable, str(Path(__file__).parent / "page_kill.py"), str(tmp_path), "200"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=200,
        env={**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'tests'}"},
    )
    assert result.returncode == 0, result.stderr
    counted = json.loads(result.stdout)
    assert counted["kills"] == 200
    assert counted["mid_save"] > 0
