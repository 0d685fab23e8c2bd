"""Answers on the command line: what people write is understood, and a slip is quoted back with the cure."""

from __future__ import annotations

import pytest

from cli.answers import apply_answers, parse_answers
from cli.errors import AnswerError
from cli.model.file import Model
from tests.front_door import three_bars


def model() -> Model:
    """Return the triangle of joints A, B, C."""
    document = three_bars()
    return Model.model_validate_json(__import__("json").dumps(document))


def test_the_example_of_the_help_is_understood() -> None:
    """Pin, roller, load and length as the help shows them."""
    answers = parse_answers(
        pins=["A"], rollers=["C"], loads=["D 0 -40 N"], dimensions=[("along", "A C 600 mm")], level="A C"
    )
    assert answers.units.force == "N"
    assert answers.units.length == "mm"
    assert [(support.joint, support.kind, support.normal) for support in answers.supports] == [
        ("A", "pin", None),
        ("C", "roller", (0.0, 1.0)),
    ]
    assert [(load.joint, load.force) for load in answers.loads] == [("D", (0.0, -40.0))]
    (dimension,) = answers.dimensions
    assert (dimension.kind, dimension.start, dimension.end, dimension.value) == ("along", "A", "C", 600.0)
    assert answers.level == ("A", "C")


@pytest.mark.parametrize(
    ("text", "unit", "force"),
    [
        ("D 0 -40 N", "N", (0, -40)),
        ("D 0 -40N", "N", (0, -40)),
        ("D 3 -2.5 kN", "kN", (3, -2.5)),
        ("D 3 -2,5 kN", "kN", (3, -2.5)),
        ("D 0 -40 lb", "lbf", (0, -40)),
        ("D 0 -1 kips", "kip", (0, -1)),
        ("D +1 0 kgf", "kgf", (1, 0)),
        ("D 0 -1 MN", "N", (0, -1_000_000)),
    ],
)
def test_loads_in_the_units_people_write(text: str, unit: str, force: tuple[float, float]) -> None:
    """The file takes the unit that was written, or a plain one where it cannot."""
    answers = parse_answers(loads=[text])
    assert answers.units.force == unit
    assert answers.loads[0].force == pytest.approx(force)


def test_units_are_mixed_on_input_and_one_in_the_file() -> None:
    """1 kip = 1000 lbf and 1 in = 25.4 mm, both by definition (NIST SP 811); the first unit written stays."""
    answers = parse_answers(
        loads=["A 0 -1 kip", "B 0 -500 lbf"], dimensions=[("along", "A B 1 in"), ("up", "A C 25.4 mm")]
    )
    assert [load.force for load in answers.loads] == [(0.0, -1.0), (0.0, -0.5)]
    assert [dimension.value for dimension in answers.dimensions] == pytest.approx([1, 1])


@pytest.mark.parametrize(
    ("text", "unit", "value"), [("A C 3 ft 6 in", "ft", 3.5), ("A C 2.5m", "m", 2.5), ("A C 60cm", "cm", 60)]
)
def test_lengths_as_people_write_them(text: str, unit: str, value: float) -> None:
    """Feet and inches add up; the unit may be stuck to the number."""
    answers = parse_answers(dimensions=[("along", text)])
    assert answers.units.length == unit
    assert answers.dimensions[0].value == pytest.approx(value)


@pytest.mark.parametrize("text", ["A B 60", "A B 60°", "A B 60 deg"])
def test_angles_are_in_degrees(text: str) -> None:
    """An angle has no length unit."""
    answers = parse_answers(dimensions=[("angle", text)])
    assert answers.dimensions[0].value == 60
    assert answers.units.length == "mm"


def test_a_roller_may_lean() -> None:
    """A roller on a slope says where its surface pushes."""
    assert parse_answers(rollers=["C -1 1"]).supports[0].normal == (-1.0, 1.0)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"loads": ["D"]}, ["--load", '"D"', "-40 N"]),
        ({"loads": ["D 0 -40"]}, ["--load", "unit"]),
        ({"loads": ["D 0 -40 furlong"]}, ["--load", "furlong"]),
        ({"loads": ["D 0 -40 kg"]}, ["--load", "a mass is not a force"]),
        ({"loads": ["D zero -40 N"]}, ["--load", "zero"]),
        ({"loads": ["D 0 -40 mm"]}, ["--load", "mm"]),
        ({"loads": [""]}, ["--load"]),
        ({"loads": ['D" 0 -40 N']}, ["--load", "no name of a joint"]),
        ({"dimensions": [("along", "A C")]}, ["--length", "600 mm"]),
        ({"dimensions": [("along", "A C 600")]}, ["--length", "unit"]),
        ({"dimensions": [("along", "A C -600 mm")]}, ["--length", "no sign"]),
        ({"dimensions": [("along", "A C 0 mm")]}, ["--length", "not zero"]),
        ({"dimensions": [("across", "A C 6 kN")]}, ["--across", "kN"]),
        ({"dimensions": [("angle", "A C steep")]}, ["--angle", "degrees"]),
        ({"dimensions": [("angle", "A C nan")]}, ["--angle", "degrees"]),
        ({"pins": ["A B"]}, ["--pin", "one joint"]),
        ({"rollers": ["A 1"]}, ["--roller", "-1 1"]),
        ({"rollers": ["A 0 0"]}, ["--roller", "nowhere"]),
        ({"rollers": ["A up 1"]}, ["--roller"]),
        ({"level": "A"}, ["--level", "A C"]),
    ],
)
def test_slips_are_quoted_back(given: dict[str, list[str]], words: list[str]) -> None:
    """The option, what was given, and what to write instead."""
    with pytest.raises(AnswerError) as caught:
        parse_answers(**given)
    for word in words:
        assert word in str(caught.value)


def test_answers_overrule_what_was_seen() -> None:
    """Supports given replace supports read; what was not answered stays."""
    seen = model()
    told = apply_answers(seen, parse_answers(pins=["B"]))
    assert [(support.joint, support.kind) for support in told.supports] == [("B", "pin")]
    assert told.loads == seen.loads


def test_an_unknown_joint_is_named_with_those_that_are_there() -> None:
    """A typing slip in a name ends in the list of names."""
    with pytest.raises(
        AnswerError, match=r'--load "Q": there is no joint of this name; the joints are A, B, C'
    ):
        apply_answers(model(), parse_answers(loads=["Q 0 -1 N"]))
