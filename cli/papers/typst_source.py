"""Writing blocks as Typst source. Whatever a person typed goes in as a string literal, never as markup."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from cli.papers.breaking import SetLine, set_lines
from cli.papers.content import (
    Beside,
    Blank,
    Blanks,
    Block,
    Bullets,
    Caution,
    Equations,
    Figure,
    Heading,
    Inline,
    KeepTogether,
    Line,
    PageBreak,
    Paragraph,
    Running,
    Strong,
    Table,
    Title,
    inlines,
)
from cli.papers.maths import (
    Expression,
    Fraction,
    Function,
    Grouped,
    Number,
    Power,
    Product,
    Relation,
    Root,
    Row,
    Signed,
    Symbol,
    Total,
    Unit,
    Words,
    bracketed,
    extent,
    plain,
)
from cli.papers.svg_size import svg_size

__all__ = ["CHARACTER", "GUTTER", "TypstWriter", "literal", "maths"]

CHARACTER = 5.3
"""Points that a character of mathematics takes on average at the size of the template."""
_INDENT = 10.5
"""Points that equations stand in from the left, as in the template."""
_ALIGN = {"l": "left", "c": "center", "r": "right"}
_ABOVE = {1: "19.5pt", 2: "15pt"}
"""Over a group that begins with a heading: a block swallows what its first part would keep above itself."""
_SENSES = {"T": "tension", "C": "compression", "0": "zero", "?": "unsure"}
"""Names of colours in the template."""


def literal(text: str) -> str:
    """Return text as a Typst string literal."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


@dataclass
class TypstWriter:
    """Writes blocks; figures are put aside by key, since they go to Typst as data."""

    width: float
    """Points between the margins."""
    figures: dict[str, str] = field(default_factory=dict)
    """SVG by key."""

    def blocks(self, blocks: Iterable[Block], width: float | None = None) -> str:
        """Write blocks one after the other, in a column `width` points wide."""
        room = self.width if width is None else width
        return "\n".join(self.block(block, room) for block in blocks)

    def kept(self, block: Block) -> str:
        """Write a block that goes to the next page with what follows it."""
        return f"#block(sticky: true, width: 100%)[\n{self.block(block, self.width)}\n]"

    def block(self, block: Block, width: float) -> str:  # noqa: C901 (one case a kind of block)
        """Write one block."""
        match block:
            case Title(words, below):
                written = f"#title-block({literal(words)})[{self.running(below)}]"
            case Heading(words, level):
                written = f"#heading(level: {level})[{self.running(words)}]"
            case Paragraph(text):
                written = f"#par[{self.running(text)}]"
            case Bullets(items, numbered):
                kind = "enum" if numbered else "list"
                written = f"#{kind}({', '.join(f'[{self.running(item)}]' for item in items)})"
            case Equations(lines):
                written = self._equations(lines, width)
            case Figure():
                written = self._figure(block, width)
            case Table():
                written = self._table(block)
            case Blanks(lines, columns):
                cells = ", ".join(f"[{self.running(line)}]" for line in lines)
                written = f"#blanks({columns}, ({cells},))"
            case Beside(figure, blocks, share):
                left = min(self._wide(figure, width), share * width)
                right = width - left - GUTTER
                words = self.blocks(blocks, right)
                written = f"#beside({left:.1f}pt)[{self._figure(figure, left)}][{words}]"
            case KeepTogether(blocks):
                above = _ABOVE[blocks[0].level] if blocks and isinstance(blocks[0], Heading) else "auto"
                inside = self.blocks(blocks, width)
                written = f"#block(breakable: false, width: 100%, above: {above})[\n{inside}\n]"
            case PageBreak():
                written = "#pagebreak(weak: true)"
            case Caution(head, sentences):
                words = ", ".join(literal(sentence) for sentence in sentences)
                written = f"#caution({literal(head)}, ({words},))"
        return written + "\n"

    def running(self, text: Running) -> str:
        """Write running text."""
        return "".join(_inline(part) for part in inlines(text))

    def _wide(self, figure: Figure, width: float) -> float:
        return min(figure.width or svg_size(figure.svg)[0], width)

    def _figure(self, figure: Figure, width: float) -> str:
        key = f"figure-{len(self.figures)}"
        self.figures[key] = figure.svg
        wide = self._wide(figure, width)
        caption = f"[{self.running(figure.caption)}]" if figure.caption else "none"
        return f"#drawing({literal(key)}, {wide:.1f}pt, {literal(figure.alt)}, {caption})"

    def _equations(self, lines: tuple[Line, ...], width: float) -> str:
        limit = (width - _INDENT) / CHARACTER
        broken = set_lines(lines, limit, width_of=extent)
        rows = [self._row(row, line) for line, group in zip(lines, broken, strict=True) for row in group]
        alt = "; ".join(_spoken(line) for line in lines)
        return f"#equations({literal(alt)}, $ " + " \\ ".join(rows) + " $)"

    def _row(self, row: SetLine, line: Line) -> str:
        written = maths(row.left) if row.left is not None else ""
        for place, piece in enumerate(row.pieces):
            mark = "&" if place == 0 else ""
            if piece.sign:
                written += f" {mark}{_sign(piece.sign)} {maths(piece.body)}"
            else:
                written += f" {mark} quad {_continued(piece.body)}"
        if row.last and line.after != "":
            written += f"{' ' if row.pieces else ' &'} quad #aside[{self.running(line.after)}]"
        return written

    def _table(self, table: Table) -> str:
        align = ", ".join(_ALIGN[letter] for letter in (table.align or "l" * len(table.head)))
        head = ", ".join(f"[{self.running(cell)}]" for cell in table.head)
        rows = ",\n  ".join(", ".join(f"[{self.running(cell)}]" for cell in row) for row in table.rows)
        caption = f"[{self.running(table.caption)}]" if table.caption else "none"
        return f"#sheet-table(({align},), ({head},), {caption},\n  {rows}\n)"


GUTTER = 14.0
"""Points between a figure and the text beside it, as in the template."""


def _inline(part: Inline) -> str:
    match part:
        case str():
            return f"#{literal(part)};" if part else ""
        case Strong(words, sense):
            colour = f", fill: {_SENSES[sense]}" if sense else ""
            return f'#text(weight: "semibold"{colour}, {literal(words)});'
        case Blank(width):
            return f"#answer-line({width:g}em);"
        case _:
            return f"#math.equation(alt: {literal(plain(part))}, $ {maths(part)} $.body);"


def _spoken(line: Line) -> str:
    return f"{plain(line.left)} {line.sign} " + " = ".join(plain(side) for side in line.right)


def _sign(sign: str) -> str:
    return {"≈": "approx", "⇒": "arrow.r.double", "<": "<", ">": ">"}.get(sign, "=")


def maths(expression: Expression) -> str:  # noqa: C901, PLR0912 (one case a kind)
    """Write mathematics as Typst mathematics."""
    match expression:
        case Number(text):
            negative = text.startswith("−")
            digits = f'class("normal", {literal(text.removeprefix("−"))})'
            written = f"minus {digits}" if negative else digits
        case Symbol(name, index):
            # One letter stands for a quantity, more are a name: ΣF is a sum of F, L7 a joint.
            first = "Σ " if name.startswith("Σ") else ""
            rest = name.removeprefix("Σ")
            letters = first + (rest if len(rest) == 1 and rest.isalpha() else literal(rest))
            written = f"attach({letters}, b: {literal(index)})" if index else letters
        case Unit(text):
            written = f"thin {literal(text)}"
        case Words(text, sense):
            written = f"#sense-words({_SENSES[sense]}, {literal(text)})" if sense else literal(text)
        case Signed(negative, body):
            written = f"minus {maths(body)}" if negative else maths(body)
        case Total(terms):
            written = _total(terms)
        case Product(factors):
            written = " dot ".join(maths(factor) for factor in bracketed(factors))
        case Fraction(top, bottom):
            written = f"frac({maths(top)}, {maths(bottom)})"
        case Grouped(inside):
            written = f"lr(( {maths(inside)} ))"
        case Function(name, of):
            written = f"op({literal(name)}) lr(( {maths(of)} ))"
        case Power(base, exponent):
            written = f"attach({maths(bracketed((base,))[0])}, t: {exponent})"
        case Root(inside):
            written = f"sqrt({maths(inside)})"
        case Relation(sides, signs):
            written = maths(sides[0])
            for sign, side in zip(signs, sides[1:], strict=True):
                written += f" {_sign(sign)} {maths(side)}"
        case Row(parts):
            written = " ".join(maths(part) for part in _with_degrees(parts))
    return written


def _with_degrees(parts: tuple[Expression, ...]) -> tuple[Expression, ...]:
    """Put the sign of degrees into its number, where it stands with no space."""
    if len(parts) == 2 and isinstance(parts[0], Number) and parts[1] == Unit("°"):
        return (Number(parts[0].text + "°"),)
    return parts


def _total(terms: tuple[Signed, ...]) -> str:
    if not terms:
        return '"0"'
    first, *others = terms
    return maths(first) + "".join(
        f" {'minus' if term.negative else 'plus'} {maths(term.body)}" for term in others
    )


def _continued(expression: Expression) -> str:
    """Write a sum that goes on from the line above: the sign of its first term stands in front."""
    assert isinstance(expression, Total)
    first = expression.terms[0]
    return maths(expression) if first.negative else f"plus {maths(expression)}"
