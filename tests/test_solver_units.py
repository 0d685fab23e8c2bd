"""Units: exact factors against their definitions, spellings, and what is refused."""

from __future__ import annotations

import subprocess
import sys

import pytest

from solver import (
    UnitError,
    convert_force,
    convert_length,
    parse_force,
    parse_force_per_length,
    parse_length,
)

LENGTHS = [
    ("600", "mm", 600.0),
    ("2.5 m", "mm", 2500.0),
    ("2,5 m", "cm", 250.0),
    ("3 ft 6 in", "in", 42.0),
    ("3ft6in", "ft", 3.5),
    ("3' 6\"", "ft", 3.5),
    ("3′ 6″", "in", 42.0),
    ("-3 ft 6 in", "ft", -3.5),
    ("− 3 m", "m", -3.0),
    ("3 1/2 in", "in", 3.5),
    ("6-1/2 in", "in", 6.5),
    ("1/2 inch", "mm", 12.7),
    ("1e3 millimetres", "m", 1.0),
    ("12 feet", "m", 3.6576),
    (" 7 ", "ft", 7.0),
]
FORCES = [
    ("2.5 kN", "N", 2500.0),
    ("40 lb", "N", 177.92886461042),  # 1 lbf = 4.4482216152605 N exactly, NIST SP 811 appendix B
    ("-40lb", "lbf", -40.0),
    ("1 kip", "lbf", 1000.0),
    ("2 kips", "kN", 8.896443230521),
    ("1 kgf", "N", 9.80665),  # standard gravity, BIPM
    ("3 newtons", "N", 3.0),
    ("1 MN", "kN", 1000.0),
]


@pytest.mark.parametrize(("text", "unit", "value"), LENGTHS)
def test_lengths(text: str, unit: str, value: float) -> None:
    """Lengths are read as people write them, and converted to the last digit."""
    assert parse_length(text, unit) == value


@pytest.mark.parametrize(("text", "unit", "value"), FORCES)
def test_forces(text: str, unit: str, value: float) -> None:
    """Forces are read as people write them; a pound is a force here."""
    assert parse_force(text, unit) == value


def test_force_per_length() -> None:
    """A load along a deck is read in the units of its truss."""
    assert parse_force_per_length("1.2 kN/m", "N", "mm") == 1.2
    assert parse_force_per_length("100 plf", "kip", "ft") == 0.1
    assert parse_force_per_length("5", "kN", "m") == 5.0


def test_conversion_rounds_once() -> None:
    """Factors are exact fractions, so that there and back is the same number to the last bit but one."""
    assert convert_length(1.0, "in", "mm") == 25.4
    assert convert_length(1.0, "ft", "m") == 0.3048
    assert convert_force(1.0, "lbf", "N") == 4.4482216152605
    assert convert_force(convert_force(0.1, "kip", "kgf"), "kgf", "kip") == pytest.approx(0.1, rel=3e-16)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("3 kg", "a mass is not a force"),
        ("3 mm", "kind"),
        ("3 parsec", "use one of"),
        ("", "write a number"),
        ("heavy", "write a number"),
        ("1 200 N", "write a number"),
        ("2,500 N", "comma"),
        ("3 N -4 N", "sign in the middle"),
        ("3 / 0 N", "divides by zero"),
        ("1e9999 N", "write a number"),
        ("nan", "write a number"),
        ("3 ((N", "not a unit"),
        ("9" * 100, "write a number"),
        (None, "write a number"),
    ],
)
def test_what_is_no_force(text: str, words: str) -> None:
    """What cannot be read is refused in a sentence that says why."""
    with pytest.raises(UnitError, match=words.replace("(", "[(]")) as caught:
        parse_force(text, "N")
    assert str(caught.value).endswith(".")


def test_unknown_target_units() -> None:
    """Only the units of a truss can be asked for."""
    for call in (
        lambda: parse_length("1 m", "N"),
        lambda: convert_length(1.0, "m", "parsec"),
        lambda: convert_force(1.0, "m", "N"),
        lambda: convert_force(float("inf"), "N", "kN"),
    ):
        with pytest.raises(UnitError):
            call()


def test_unit_library_waits_until_needed() -> None:
    """Importing the solver does not load pint, which takes a while."""
    code = "import sys, solver; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
