"""Each step of a worked solution as blocks: its figure, its equations with numbers, what they give."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from cli.lists import listed
from cli.papers.content import (
    Beside,
    Block,
    Bullets,
    Equations,
    Figure,
    Heading,
    KeepTogether,
    Line,
    Paragraph,
    Running,
    Table,
    fill,
)
from cli.papers.drawings import figure_of
from cli.papers.maths import (
    Fraction,
    Function,
    Power,
    Relation,
    Root,
    Signed,
    Symbol,
    Total,
    Words,
    extent,
    plain,
)
from cli.papers.notation import Notation
from cli.papers.svg_size import svg_size
from cli.sheets.figures import free_body_figure
from cli.sheets.free_bodies import joint_figure
from cli.sheets.paper_truss import FigureSettings
from cli.sheets.sections import section_figure
from cli.wording import Wording, WorkedWords
from solver import Solution
from solver.steps import (
    BlockStep,
    CheckStep,
    Equation,
    JointStep,
    LoadStep,
    Quantity,
    ReactionStep,
    Result,
    SectionStep,
    Slope,
    Step,
    ZeroForceStep,
)

__all__ = ["StepWriter"]

_PAGE, _BETWEEN, _CHARACTER = 481.0, 36.0, 5.3
"""Points: width of a page, what lies between figure and equations, and a character of mathematics."""
_WIDEST_BESIDE = 0.5
"""Of the page: a figure wider than this leaves no room for equations beside it."""
_ROUND = 9
"""Decimals to which run and rise must agree for members to share a line of the table of slopes."""


@dataclass(frozen=True, eq=False)
class StepWriter:
    """Writes the steps of one solution in one language."""

    solution: Solution
    notation: Notation
    wording: Wording
    settings: FigureSettings
    """How figures are drawn; their numbers are written as those of the text."""

    @property
    def _unit(self) -> str:
        return self.solution.truss.force_unit

    def names(self, members: Iterable[tuple[str, ...]]) -> str:
        """List members by name, with `and` before the last."""
        return self.listed([self.notation.member(member) for member in members])

    def listed(self, names: Sequence[str]) -> str:
        """List names, with `and` before the last."""
        common = self.wording.common
        return listed(names, last=common.last, separator=common.separator)

    def loads(self, step: LoadStep) -> Iterator[Block]:
        """Write what each joint takes of loads that do not act on a joint."""
        words, truss, given = self.wording.worked, self.solution.truss, self.notation.given
        rows = []
        for share in step.shares:
            why = {
                "deck": words.deck_share,
                "self-weight": words.weight_share,
                "lever rule": words.lever_share,
            }[share.kind]
            because = why.format(
                length=given(share.length),
                whole=given(share.whole),
                unit=truss.length_unit,
                where="–".join(share.source),
            )
            rows.append((share.joint, given(share.fx), given(share.fy), because))
        joint, right, up, because = words.load_heads
        yield Heading(words.loads)
        yield Paragraph(words.loads_text)
        yield Table(
            (joint, right.format(unit=self._unit), up.format(unit=self._unit), because), tuple(rows), "lrrl"
        )
        if any(share.kind == "lever rule" for share in step.shares):
            yield Paragraph(words.lever_note)

    def slopes(self, steps: Iterable[Step]) -> Iterator[Block]:
        """Write run, rise, length and angle of every sloping member, those alike in one line."""
        words, given, unit = self.wording.worked, self.notation.given, self.solution.truss.length_unit
        alike: dict[tuple[float, float], dict[frozenset[str], Slope]] = {}
        for step in steps:
            for slope in step.slopes if isinstance(step, JointStep | SectionStep) else ():
                key = round(abs(slope.run), _ROUND), round(abs(slope.rise), _ROUND)
                alike.setdefault(key, {}).setdefault(frozenset(slope.member), slope)
        if not alike:
            return
        rows = []
        for found in alike.values():
            slope = next(iter(found.values()))
            run, rise, length = abs(slope.run), abs(slope.rise), slope.length
            cells = (given(run), given(rise), given(length), given(run / length), given(rise / length))
            degrees = f"{given(slope.angle)}°"
            rows.append((self.names(each.member for each in found.values()), *cells, degrees))
        members, *lengths = words.slope_heads
        head: tuple[Running, ...] = (
            members,
            *(text.format(unit=unit) for text in lengths),
            Function("cos", Symbol("α")),
            Function("sin", Symbol("α")),
            Symbol("α"),
        )
        yield Heading(words.slopes)
        yield Paragraph(words.slopes_text)
        yield Paragraph(_slope_formulas(words))
        yield Table(head, tuple(rows), "lrrrrrr")

    def reactions(self, steps: Sequence[ReactionStep]) -> Iterator[Block]:
        """Write the free body of the whole and every equation that gives a reaction."""
        words, truss = self.wording.worked, self.solution.truss
        whole = free_body_figure(truss, settings=self.settings)
        figure = figure_of(whole.drawing, "whole", words.whole_alt)
        yield KeepTogether((Heading(words.reactions), Paragraph(words.reactions_text), figure))
        for step in steps:
            yield from self._reaction(step)

    def _reaction(self, step: ReactionStep) -> Iterator[Block]:
        words = self.wording.worked
        if step.part and step.hinge is not None:
            yield Paragraph(words.part_text.format(joints=self.listed(step.part), hinge=step.hinge))
        alone = all(equation.solves_for is not None for equation in step.equations)
        if not alone:
            equations = tuple(self.notation.equation(equation) for equation in step.equations)
            answers = tuple(self._found(result) for result in step.results)
            yield KeepTogether((Equations(equations), Paragraph(words.together), Equations(answers)))
        else:
            for equation, result in zip(step.equations, step.results, strict=True):
                lines = (self.notation.equation(equation), *self._answers(equation, (result,)))
                yield KeepTogether((Paragraph(self._lead(equation)), Equations(lines)))
        if step.remaining:
            symbols = self.listed([plain(self.notation.symbol(quantity)) for quantity in step.remaining])
            yield Paragraph(fill(words.reactions_left, names=symbols))

    def _lead(self, equation: Equation) -> str:
        """Say what an equation sums."""
        words = self.wording.worked
        if equation.kind == "moment":
            return words.moment_text.format(joint=equation.about or "O")
        return words.sum_text.format(way=words.ways[equation.kind])

    def zero_force(self, steps: Sequence[ZeroForceStep]) -> Iterator[Block]:
        """Write which members carry nothing, with the rule that shows it."""
        words = self.wording.worked
        items = tuple(
            words.zero_line.format(
                members=self.names(step.members), rule=words.zero_rules[step.rule].format(joint=step.joint)
            )
            for step in steps
        )
        if items:
            yield KeepTogether((Heading(words.zero_members), Paragraph(words.zero_text)))
            yield Bullets(items)

    def step(self, step: Step) -> Iterator[Block]:
        """Write a joint, a section, or joints that are solved together."""
        match step:
            case JointStep():
                yield self._joint(step)
            case SectionStep():
                yield self._section(step)
            case BlockStep():
                yield from self._block(step)
            case _:
                return

    def _joint(self, step: JointStep) -> Block:
        words = self.wording.worked
        drawn = joint_figure(self.solution.truss, step, settings=self.settings)
        figure = figure_of(drawn.drawing, f"joint-{step.joint}", self._joint_alt(step.joint, step.equations))
        found: list[Block] = []
        if any(equation.solves_for is not None for equation in step.equations):
            lines: list[Line] = []
            for equation in step.equations:
                line = self.notation.equation(equation)
                mine = [item for item in step.results if item.quantity == equation.solves_for]
                if not mine and equation.solves_for is None:
                    line = Line(line.left, line.right, words.must_hold)
                lines += [line, *self._answers(equation, mine)]
            found.append(Equations(tuple(lines)))
        else:
            found.append(Equations(tuple(self.notation.equation(equation) for equation in step.equations)))
            if step.results:
                found += [
                    Paragraph(words.together),
                    Equations(tuple(self._found(result) for result in step.results)),
                ]
        return self._with_figure(Heading(words.joint_head.format(joint=step.joint), 2), figure, found)

    def _with_figure(self, head: Heading, figure: Figure, blocks: list[Block]) -> Block:
        """Set a figure beside its equations, or above them where they do not fit."""
        share = svg_size(figure.svg)[0] / _PAGE
        room = ((1 - share) * _PAGE - _BETWEEN) / _CHARACTER
        lines = [line for block in blocks if isinstance(block, Equations) for line in block.lines]
        if share <= _WIDEST_BESIDE and _widest(lines) <= room:
            return KeepTogether((head, Beside(figure, tuple(blocks), share)))
        return KeepTogether((head, figure, *blocks))

    def _section(self, step: SectionStep) -> Block:
        words, equation = self.wording.worked, step.equation
        drawn = section_figure(self.solution, step, settings=self.settings)
        cut, joints = self.names(step.cut), self.listed(step.part)
        name = f"section-{self.notation.member(step.result.quantity.joints)}"
        figure = figure_of(drawn.drawing, name, words.section_alt.format(members=cut, joints=joints))
        lead = words.section_along
        if equation.kind == "moment":
            lead = words.section_moment.format(centre=equation.about or "O")
        elif equation.kind in words.ways:
            lead = words.section_across.format(way=words.ways[equation.kind])
        lines = (self.notation.equation(equation), *self._answers(equation, (step.result,)))
        return KeepTogether(
            (
                Heading(words.section_head.format(members=cut), 2),
                Paragraph(words.section_text.format(members=cut, joints=joints)),
                figure,
                Paragraph(lead),
                Equations(lines),
            )
        )

    def _block(self, step: BlockStep) -> Iterator[Block]:
        words = self.wording.worked
        text = words.block_text.format(
            joints=self.listed(step.joints), equations=len(step.equations), unknowns=len(step.results)
        )
        yield Heading(words.block_head, 2)
        yield Paragraph(text)
        for joint, place in zip(step.joints, range(0, len(step.equations), 2), strict=True):
            pair = step.equations[place : place + 2]
            lines = tuple(self.notation.equation(equation) for equation in pair)
            yield KeepTogether((Paragraph(words.joint_head.format(joint=joint) + ":"), Equations(lines)))
        yield Paragraph(words.together_all)
        yield Equations(tuple(self._found(result) for result in step.results))

    def check(self, step: CheckStep) -> Block:
        """Write the equations of a joint whose forces were all found elsewhere."""
        words = self.wording.worked
        lines = tuple(self.notation.equation(equation) for equation in step.equations)
        return KeepTogether((Paragraph(words.check_joint.format(joint=step.joint)), Equations(lines)))

    def _found(self, result: Result) -> Line:
        return Line(self.notation.symbol(result.quantity), (self.notation.result(result, self._unit),))

    def _answers(self, equation: Equation, results: Iterable[Result]) -> Iterator[Line]:
        for result in results:
            yield self.notation.answer(equation, result, self._unit) or self._found(result)

    def _joint_alt(self, joint: str, equations: Iterable[Equation]) -> str:
        """Say in words which forces the figure of a joint shows."""
        seen: dict[Quantity, str] = {}
        for equation in equations:
            for term in equation.terms:
                name = plain(self.notation.symbol(term.quantity))
                if term.quantity.kind == "load":
                    name = self.wording.sheet.load
                known = "?" if term.value is None else f"{self.notation.force(term.value)} {self._unit}"
                seen.setdefault(term.quantity, f"{name} = {known}")
        return self.wording.worked.joint_alt.format(joint=joint, forces="; ".join(seen.values()))


def _widest(lines: list[Line]) -> float:
    """Return how wide equations are that are broken wherever they can be: the longest left side and part."""
    parts = [
        part
        for line in lines
        for side in line.right
        for part in (side.terms if isinstance(side, Total) else (side,))
    ]
    left = max((extent(line.left) for line in lines), default=0.0)
    return left + max((extent(part) + 3 for part in parts), default=0.0)


def _slope_formulas(words: WorkedWords) -> Running:
    """Write how length and angle follow from run and rise."""
    run, rise, length, angle = Words(words.run), Words(words.rise), Symbol("L"), Symbol("α")
    squares = Total((Signed(negative=False, body=Power(run, 2)), Signed(negative=False, body=Power(rise, 2))))
    formulas = (
        Relation((length, Root(squares)), ("=",)),
        Relation((Function("cos", angle), Fraction(run, length)), ("=",)),
        Relation((Function("sin", angle), Fraction(rise, length)), ("=",)),
        Relation((Function("tan", angle), Fraction(rise, run)), ("=",)),
    )
    gap = "\N{EM SPACE}"
    return tuple(part for formula in formulas for part in (formula, gap))[:-1]
