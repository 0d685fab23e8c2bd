"""`panelpoint stock`: what members are made of, said in words and written into the model."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cli.model.file import load
from cli.strength.stock_words import stock_of_words
from tests.front_door import assert_refused, panelpoint, three_bars, write_model


@pytest.mark.parametrize(
    ("words", "entry"),
    [
        ("birch 10 x 2 mm", {"material": "birch", "width": 1, "thickness": 0.2}),
        ("eastern white pine 10×2mm", {"material": "eastern white pine", "width": 1, "thickness": 0.2}),
        ("balsa square 5 mm", {"material": "balsa", "width": 0.5, "thickness": 0.5}),
        ("steel round 2,5 mm", {"material": "steel", "diameter": 0.25}),
        ("aluminium tube 6 x .5 mm", {"material": "aluminium", "diameter": 0.6, "wall": 0.05}),
        ("birch 1 x 0.2 cm, 2 glued", {"material": "birch", "width": 1, "thickness": 0.2, "sticks": 2}),
        (
            "birch 1 x 0.2 cm , 3 loose",
            {"material": "birch", "width": 1, "thickness": 0.2, "sticks": 3, "glued": False},
        ),
        ("birch 1 x 0.2 cm, gap 4 mm", {"material": "birch", "width": 1, "thickness": 0.2, "gap": 0.4}),
        ("bamboo round 1 in, 2 loose", {"material": "bamboo", "diameter": 2.54, "sticks": 2, "glued": False}),
    ],
)
def test_words_become_an_entry(words: str, entry: dict[str, Any]) -> None:
    """In the length unit of the model, here cm."""
    found = stock_of_words(words, unit="cm").model_dump(exclude_none=True)
    assert found == {
        key: pytest.approx(value) if key != "material" else value for key, value in entry.items()
    }


def test_every_member_without_stock_gets_it(tmp_path: Path) -> None:
    """Then single ones another; the rest of the file stays, and the strength is there."""
    path = write_model(tmp_path, three_bars())
    before = load(path)
    assert panelpoint("stock", path, "birch 10 x 2 mm").code == 0
    outcome = panelpoint("stock", path, "birch 10 x 2 mm, 2 glued", "--on", "C-A", "--name", "double")
    assert outcome.code == 0, outcome.err
    assert outcome.text.splitlines()[1:] == ["  birch 10 x 2 mm  A-B B-C", "  double           A-C"]
    model = load(path)
    assert [member.stock for member in model.members] == ["birch 10 x 2 mm", "double", "birch 10 x 2 mm"]
    bare = tuple(member.model_copy(update={"stock": None}) for member in model.members)
    assert model.model_copy(update={"members": bare, "stocks": {}}) == before
    assert panelpoint("strength", path).code == 0


def test_bars_ask_for_a_cutting_list(tmp_path: Path) -> None:
    """5 + 8 m fit one bar of 14 m, 5 m is left for another: two bars, by hand; the saw takes 10 mm."""
    path = write_model(tmp_path, three_bars())
    outcome = panelpoint(
        "stock", path, "birch 10 x 2 cm", "--bars", "14 m", "--bars", "600 cm", "--kerf", "1 cm"
    )
    assert outcome.code == 0, outcome.err
    (entry,) = load(path).stocks.values()
    assert entry.bars == (14, 6)
    assert entry.kerf == pytest.approx(0.01)
    text = panelpoint("strength", path).text
    assert "Cutting list of birch 10 x 2 cm: 2 bars, nothing takes less" in text


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("birch",), "give material, shape and size"),
        (("birch 10 mm",), "give material, shape and size"),
        (("steel tube 6 mm",), "give material, shape and size"),
        (("birch 0 x 2 mm",), "sizes above zero"),
        (("steel round 2 mm, 2 glued",), "only strips are glued"),
        (("brich 10 x 2 mm",), "There is no material 'brich'"),
        (("drinking straw round 6 mm",), "Your own test is the way"),
        (("birch 10 x 2 mm", "--on", "A-Q"), "there is no such member here; there are A-B, A-C, B-C"),
        (("birch 10 x 2 mm", "--bars", "long"), "give a length with its unit"),
        (("birch 10 x 2 mm", "--kerf", "-1 mm"), "a length is above zero"),
        (("birch 10 x 2 mm", "--density", "-5"), "property of -5 is impossible"),
    ],
)
def test_slips_are_told_and_the_file_stays(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    """With the cure."""
    path = write_model(tmp_path, three_bars())
    before = path.read_bytes()
    assert_refused(panelpoint("stock", path, *arguments), words)
    assert path.read_bytes() == before


def test_a_name_stands_for_one_stock(tmp_path: Path) -> None:
    """The same words again change nothing else; another stock of that name is refused."""
    path = write_model(tmp_path, three_bars())
    assert panelpoint("stock", path, "birch 10 x 2 mm", "--name", "stick").code == 0
    assert_refused(panelpoint("stock", path, "birch 10 x 2 mm"), "every member has a stock already")
    outcome = panelpoint("stock", path, "birch 9 x 2 mm", "--name", "stick", "--on", "A-B")
    assert_refused(outcome, "another stock of that name")
