"""The worked solution: its numbers against published ones, its equations worked out again, its order."""

from __future__ import annotations

import math
import re
import shutil
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from cli.model.parts import DeckLoadEntry
from cli.papers.as_pdf import paper_pdf
from cli.papers.content import Beside, Block, Equations, Heading, KeepTogether, Line, Title, text_of
from cli.papers.maths import (
    Expression,
    Fraction,
    Grouped,
    Number,
    Product,
    Relation,
    Row,
    Signed,
    Symbol,
    Total,
    Unit,
)
from cli.papers.order import Made, Order
from cli.papers.worked import worked_solution
from cli.sheets.figures import free_body_figure, solution_figure, truss_figure
from cli.wording import LANGUAGES
from solver import Truss, solve
from tests.hand_typed import hand_typed
from tests.overlay_scenes import random_truss
from tests.samples import sampled, seeds
from tests.test_cli_sheets_figures import covered
from tests.trusses import Case, published, published_cases, three_bar, through_truss

LOADED = [case for case in published_cases() if case.facts["published"]["forces"]]
needs_pdftotext = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext (poppler-utils) is not installed here"
)
EXACT_WITHIN = 1e-9
"""Relative: two numbers that are written without rounding agree to the dust of arithmetic."""


def made(truss: Truss, *, language: str = "en", figures: int = 3) -> Made:
    """Make the worked solution of a truss."""
    return worked_solution(Order(hand_typed(truss, "Some truss"), Path("some.truss.json"), language, figures))


@cache
def made_of(case: str, language: str = "en", figures: int = 3) -> Made:
    """Make the worked solution of a published case, once."""
    return made(published(case).truss, language=language, figures=figures)


def inside(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """Go through blocks and those inside others."""
    for block in blocks:
        yield block
        if isinstance(block, KeepTogether | Beside):
            yield from inside(block.blocks)


def lines_of(sheet: Made) -> list[Line]:
    """Return every equation of a sheet."""
    return [
        line
        for block in inside(sheet.document.blocks)
        if isinstance(block, Equations)
        for line in block.lines
    ]


class Reader:
    """Works equations out from their printed numbers, with half a unit of each last figure as its error."""

    def __init__(self, sheet: Made, figures: int, decimal: str) -> None:
        self.figures, self.decimal = figures, decimal
        self.found: dict[Symbol, tuple[float, float]] = {}
        for line in lines_of(sheet):
            last = line.right[-1]
            if isinstance(line.left, Symbol) and isinstance(last, Row):
                self.found[line.left] = self.value(last)

    def number(self, text: str) -> tuple[float, float]:
        """Read a printed number. With fewer figures than are set it was not rounded."""
        plain = text.replace("−", "-").replace(self.decimal, ".")
        digits = re.sub(r"[^0-9]", "", plain).lstrip("0")
        places = len(plain.partition(".")[2])
        return float(plain), (0.5 * 10.0**-places if len(digits) >= self.figures else 0.0)

    def value(self, expression: Expression) -> tuple[float, float]:
        """Return what an expression comes to, and how far rounding may have moved it."""
        match expression:
            case Number(text):
                return self.number(text)
            case Symbol():
                return self.found[expression]
            case Signed(negative, body):
                value, error = self.value(body)
                return (-value if negative else value), error
            case Total(terms):
                parts = [self.value(term) for term in terms]
                return sum(part[0] for part in parts), sum(part[1] for part in parts)
            case Product(factors):
                value, error = 1.0, 0.0
                for other, more in map(self.value, factors):
                    value, error = value * other, abs(value) * more + abs(other) * error + error * more
                return value, error
            case Fraction(top, bottom):
                (above, more), (below, less) = self.value(top), self.value(bottom)
                value = above / below
                return value, (more + abs(value) * less) / (abs(below) - less)
            case Grouped(body):
                return self.value(body)
            case Row(parts) if isinstance(parts[0], Number | Row):
                return self.value(parts[0])
            case _:
                raise TypeError(expression)

    def balances(self, one: Expression, other: Expression) -> bool:
        """Tell whether two sides agree to the rounding shown."""
        (left, less), (right, more) = self.value(one), self.value(other)
        return abs(left - right) <= (less + more) * (1 + 1e-9) + EXACT_WITHIN * max(1.0, abs(left))


def assert_balance(sheet: Made, reader: Reader) -> int:
    """Check all sides of all equations against each other; return how many pairs there were."""
    checked = 0
    for line in lines_of(sheet):
        if isinstance(line.right[0], Relation):
            continue
        for one, other in zip(line.right, line.right[1:], strict=False):
            assert reader.balances(one, other), line
            checked += 1
        if isinstance(line.left, Symbol) and line.left in reader.found:
            assert reader.balances(line.left, line.right[0]), line
    return checked


@pytest.mark.parametrize("case", LOADED, ids=str)
@pytest.mark.parametrize(("language", "figures"), [("en", 3), ("de", 4)])
def test_every_equation_balances(case: Case, language: str, figures: int) -> None:
    """Each printed equation, worked out again from its own printed numbers, holds to the rounding shown."""
    sheet = made_of(case.id, language, figures)
    reader = Reader(sheet, figures, LANGUAGES[language].decimal)
    checked = assert_balance(sheet, reader)
    truss = case.truss
    assert len(reader.found) == len(truss.members) + 3 + _more(truss) - _seen(truss)
    assert checked >= len(truss.members)


@pytest.mark.parametrize("seed", [7, 10])
def test_equations_of_random_trusses_balance(seed: int) -> None:
    """Odd slopes, rollers on a slope, joints solved together: their equations hold too."""
    sheet = made(random_truss(seed).truss, figures=2 + seed % 3)
    assert_balance(sheet, Reader(sheet, 2 + seed % 3, "."))


def test_loads_brought_to_joints_balance() -> None:
    """A load along the deck and self-weight come to the joints in a table, and every equation holds."""
    model = hand_typed(through_truss("pratt", 4), "Deck").model_copy(
        update={
            "deck_loads": (DeckLoadEntry(joints=tuple(f"L{row}" for row in range(5)), force=(0.0, -2.7)),),
            "self_weight": 0.13,
        }
    )
    sheet = worked_solution(Order(model, Path("some.truss.json")))
    heads = [text_of(block.words) for block in inside(sheet.document.blocks) if isinstance(block, Heading)]
    assert LANGUAGES["en"].worked.loads in heads
    assert_balance(sheet, Reader(sheet, 3, "."))


def _more(truss: Truss) -> int:
    """Count reactions beyond three."""
    return sum(2 if held.kind == "pin" else 1 for held in truss.supports) - 3


def _seen(truss: Truss) -> int:
    """Count members that no equation finds, since one sees that they carry nothing."""
    return int(solve(truss).zero_by_inspection.sum())


@cache
def words_of(case: str) -> str:
    """Return the words of a case's PDF as a reader would copy them, one blank between them."""
    data = paper_pdf(made_of(case).document)
    text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=data, capture_output=True, check=True)
    return " ".join(text.stdout.decode().split())


def rounded(value: float, figures: int = 3) -> str:
    """Write a number as the sheet should, by other means than the sheet: floor of the half added on."""
    if abs(value) < 1e-9:
        return "0"
    power = math.floor(math.log10(abs(value)) + 1e-12) - figures + 1
    steps = math.floor(abs(value) / 10.0**power + 0.5 + 1e-9)
    if steps == 10**figures:
        steps, power = steps // 10, power + 1
    if power > 0:
        steps, power = math.floor(abs(value) + 0.5 + 1e-9), 0
    digits = str(steps).rjust(-power + 1, "0")
    text = digits if power == 0 else f"{digits[:power]}.{digits[power:]}"
    return f"−{text}" if value < 0 else text


@needs_pdftotext
@pytest.mark.parametrize("case", LOADED, ids=str)
def test_pdf_holds_every_value(case: Case) -> None:
    """The text of the PDF has every reaction and every member force, to the set rounding, beside its name."""
    words = words_of(case.id)
    solution = solve(case.truss)
    for row, member in enumerate(case.truss.members):
        short = len(member.start) == len(member.end) == 1
        name = f"{member.start}{'' if short else '–'}{member.end}"
        sense = solution.senses[row]
        force = 0.0 if sense == "0" else float(solution.forces[row])
        assert f"{name} {rounded(force)} {sense}" in words, name
    for item in solution.reactions:
        kind = {"pin": "pin", "roller": "roller"}[item.kind]
        assert f"{item.joint} {kind} {rounded(item.fx)} {rounded(item.fy)}" in words, item.joint


@needs_pdftotext
@pytest.mark.parametrize("case", LOADED, ids=str)
def test_pdf_agrees_with_the_source(case: Case) -> None:
    """What the PDF says of each member is what its published source prints, within both roundings."""
    words = words_of(case.id)
    printed = case.facts["published"]
    largest = max(abs(value) for value in case.facts["verified_forces"].values())
    for name, value in printed["forces"].items():
        start, end = name.split("-")
        joined = "" if len(start) == len(end) == 1 else "–"
        pattern = "|".join(re.escape(f"{one}{joined}{other}") for one, other in ((start, end), (end, start)))
        found = re.search(rf"(?:^| )(?:{pattern}) (−?[0-9.]+) [TC0](?= |$)", words)
        assert found is not None, name
        size = float(found[1].replace("−", "-"))
        figures = {"sig": printed["rounding"].get("n", 3), "exact": 12}.get(printed["rounding"]["type"], 2)
        allowed = abs(value) * 0.5 * (10.0**-2 + 10.0 ** (1 - figures)) + 0.006 * largest
        assert size == pytest.approx(value, abs=allowed), name


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_order_is_a_persons(language: str) -> None:
    """The headings stand in the order in which one works (holtz-S1 needs sections)."""
    words = LANGUAGES[language].worked
    blocks = list(inside(made_of("holtz-S1", language).document.blocks))
    heads = [text_of(block.words) for block in blocks if isinstance(block, Heading) and block.level == 1]
    assert isinstance(blocks[0], Title)
    assert heads == [
        words.truss,
        words.assumptions,
        words.count,
        words.slopes,
        words.reactions,
        words.joints,
        words.members,
        words.forces,
        words.checks,
        words.sure,
    ]
    below = [text_of(block.words) for block in blocks if isinstance(block, Heading) and block.level == 2]
    assert sum(head.startswith(words.section_head.split("{")[0]) for head in below) == 2


def test_joint_and_its_figure_stay_together() -> None:
    """Every joint's figure is in one block with its equations, which no page tears apart."""
    sheet = made(through_truss("pratt", 4))
    groups = [block for block in sheet.document.blocks if isinstance(block, KeepTogether)]
    names = {
        figure.name
        for group in groups
        for block in inside(group.blocks)
        if isinstance(block, Beside)
        for figure in (block.figure,)
    }
    assert {f"joint-{name}" for name in ("L0", "L1", "U1", "L2", "L3", "L4", "U3")} <= names


def test_unit_symbol_and_sense_stand_with_each_result() -> None:
    """A result has its unit, and T or C in the colour of its sense."""
    rows = [line.right[-1] for line in lines_of(made(three_bar())) if isinstance(line.right[-1], Row)]
    assert all(
        Unit("kN") in (row.parts if isinstance(row.parts[0], Number) else row.parts[0].parts) for row in rows
    )
    assert {row.parts[1].text.strip() for row in rows if isinstance(row.parts[0], Row)} == {"(T)", "(C)"}


def test_labels_of_the_sheet_cover_nothing() -> None:
    """At the sizes of the sheet no text of its figures covers anything.

    200 random trusses of 3 to 30 joints with `--thorough`, three otherwise: at the full size of figures
    tests/test_cli_sheets_figures.py looks at more.
    """
    order = Order(hand_typed(three_bar(), "Any"), Path("any.truss.json"))
    for seed in seeds(200)[:: sampled(1, 9)]:
        solution = random_truss(seed)
        figures = (
            truss_figure(solution.truss, settings=order.drawn),
            free_body_figure(solution.truss, settings=order.drawn),
            solution_figure(solution, settings=order.drawn),
        )
        assert [covered(figure) for figure in figures] == [0, 0, 0], seed


def test_forces_come_from_full_precision() -> None:
    """Two figures on paper change nothing behind them: the CSV has twelve."""
    sheet = made(published("holtz-J1").truss, figures=2)
    assert sheet.members is not None
    forces = [float(line.split(",")[2]) for line in sheet.members.splitlines()[1:]]
    assert forces == pytest.approx(solve(published("holtz-J1").truss).forces, rel=1e-11, abs=1e-9)
    assert np.ptp(forces) > 100
