"""The worked solution as plain text, equations aligned, for a terminal, a file or a board."""

from __future__ import annotations

from collections.abc import Iterator

from solver import Working
from solver.steps import (
    BlockStep,
    CheckStep,
    CountStep,
    Equation,
    JointStep,
    LoadStep,
    Quantity,
    ReactionStep,
    Result,
    SectionStep,
    Slope,
    Step,
    Term,
    ZeroForceStep,
)

__all__ = ["step_as_text", "steps_as_text"]

_FIGURES = 4
"""Significant figures of forces and lengths, as hand calculations carry."""

_DUST = 1e-9
"""Of the largest force in an equation: what it lacks of zero below this is the rounding of arithmetic."""

_RULES = {
    "two members": "joint {joint}, unloaded, joins only these two, not in one line",
    "one member": "joint {joint}, unloaded, joins nothing else",
    "three forces": "the other members at joint {joint}, unloaded, are in one line",
    "load along one member": "all other forces at joint {joint} are in one line",
}


def steps_as_text(working: Working) -> str:
    """Write out each step of a worked solution.

    Tension is positive throughout; every equation is a sum that is zero.

    Returns
    -------
    str
        Lines ending in a line feed, with no colour and no trailing space.
    """
    units = working.truss.force_unit, working.truss.length_unit
    blocks: list[str] = []
    for number, (title, lines) in enumerate(_blocks(working.steps, *units), start=1):
        blocks.append("\n".join([f"{number}. {title}", *(f"   {line}".rstrip() for line in lines)]))
    return "\n\n".join(blocks) + "\n"


def step_as_text(step: Step, *, force: str, length: str) -> tuple[str, tuple[str, ...]]:
    """Write out one step by itself.

    Parameters
    ----------
    step
        Any step of a worked solution.
    force, length
        Units.

    Returns
    -------
    title, lines
        Without numbers or indent.
    """
    (title, lines), *_ = _blocks((step,), force, length)
    return title, tuple(lines)


def _blocks(steps: tuple[Step, ...], force: str, length: str) -> Iterator[tuple[str, list[str]]]:
    zero_force = [step for step in steps if isinstance(step, ZeroForceStep)]
    checks = [step for step in steps if isinstance(step, CheckStep)]
    for step in steps:
        match step:
            case CountStep():
                yield "Can it be solved?", _count(step)
            case LoadStep():
                yield "Loads brought to the joints", _loads(step, force, length)
            case ReactionStep():
                yield _reaction_title(step), _reactions(step, force, length)
            case ZeroForceStep() if step is zero_force[0]:
                yield "Zero-force members, by inspection", [_zero_force(each) for each in zero_force]
            case JointStep():
                yield f"Joint {step.joint}", _joint(step, force, length)
            case SectionStep():
                yield f"Section through {_list(step.cut)}", _section(step, force, length)
            case BlockStep():
                yield "Joints solved together", _block(step, force)
            case CheckStep() if step is checks[0]:
                yield "Check", [line for each in checks for line in _check(each, force)]
            case _:
                continue


def _count(step: CountStep) -> list[str]:
    unknowns, equations = step.m + step.r, 2 * step.j
    sign = "=" if unknowns == equations else "<" if unknowns < equations else ">"
    return [
        f"m + r = {step.m} + {step.r} = {unknowns} {sign} 2j = 2 · {step.j} = {equations}",
        f"The rank of the joint equations says: {step.verdict}.",
    ]


def _loads(step: LoadStep, force: str, length: str) -> list[str]:
    lines = []
    for share in step.shares:
        parts = [
            f"{_number(value)} {force} {way}"
            for value, way in ((abs(share.fx), _way(share.fx, 0)), (abs(share.fy), _way(share.fy, 1)))
            if value
        ]
        where = "–".join(share.source)
        reason = {
            "deck": f"tributary length {_number(share.length)} {length} of the deck {where}",
            "self-weight": f"half of the weight of {where}, {_number(share.whole)} {length} long",
            "lever rule": f"share {_number(share.length)}/{_number(share.whole)} of the load on {where}",
        }[share.kind]
        lines.append(f"{share.joint}: {' and '.join(parts) or 'nothing'} ({reason})")
    if any(share.kind == "lever rule" for share in step.shares):
        lines.append("Bending of a member loaded between its joints is not covered.")
    return lines


def _reaction_title(step: ReactionStep) -> str:
    if not step.part:
        return "Reactions, from the whole truss"
    return f"Reactions, from the part {', '.join(step.part)} hinged at {step.hinge}"


def _reactions(step: ReactionStep, force: str, length: str) -> list[str]:
    lines = _equations(step.equations, length)
    lines += _results(step.results, force)
    if step.remaining:
        names = ", ".join(_symbol(quantity) for quantity in step.remaining)
        lines.append(f"These equations do not give {names}: the truss has more reactions than they can find.")
    return lines


def _zero_force(step: ZeroForceStep) -> str:
    return f"{_list(step.members)}: {_RULES[step.rule].format(joint=step.joint)}"


def _joint(step: JointStep, force: str, length: str) -> list[str]:
    lines = _slopes(step.slopes, length)
    lines += _equations(step.equations, length)
    return lines + _results(step.results, force)


def _section(step: SectionStep, force: str, length: str) -> list[str]:
    lines = [f"Look at the part with joints {', '.join(step.part)}."]
    lines += _slopes(step.slopes, length)
    lines += _equations((step.equation,), length)
    return lines + _results((step.result,), force)


def _block(step: BlockStep, force: str) -> list[str]:
    return [
        f"No joint has two unknowns and no section cuts few enough, so joints {', '.join(step.joints)}",
        f"are solved together: {len(step.equations)} equations, {len(step.results)} unknowns.",
        *_results(step.results, force),
    ]


def _check(step: CheckStep, force: str) -> list[str]:
    lines = [f"Joint {step.joint}, where every force is known by now:"]
    lines += [f"  {line}" for line in _equations(step.equations, "")]
    lacking = max(abs(value) for value in step.lacking)
    terms = [term for equation in step.equations for term in equation.terms]
    largest = max((abs(term.factor * term.value) for term in terms if term.value is not None), default=0.0)
    lines.append("  Both hold." if lacking <= _DUST * largest else f"  Both hold to {lacking:.0e} {force}.")
    return lines


def _slopes(slopes: tuple[Slope, ...], length: str) -> list[str]:
    rows = [
        (
            _symbol(Quantity("member", slope.member)),
            f"run {_number(abs(slope.run))}",
            f"rise {_number(abs(slope.rise))}",
            f"length {_number(slope.length)} {length}",
            f"angle {slope.angle:.2f}°",
        )
        for slope in slopes
    ]
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows]


def _equations(equations: tuple[Equation, ...], length: str) -> list[str]:
    """Write equations under each other with their equals signs in one column."""
    heads = [_head(equation, length) for equation in equations]
    width = max((len(head) for head in heads), default=0)
    return [
        f"{head.rjust(width)} = 0 = {_sum(equation.terms, moment=equation.kind == 'moment')}"
        for head, equation in zip(heads, equations, strict=True)
    ]


def _head(equation: Equation, length: str) -> str:
    if equation.kind == "moment":
        x, y = equation.centre or (0.0, 0.0)
        return f"ΣM({equation.about or f'{_number(x)}, {_number(y)} {length}'.strip()})"
    return {"x": "ΣFx", "y": "ΣFy"}.get(equation.kind, "ΣF")


def _sum(terms: tuple[Term, ...], *, moment: bool) -> str:
    written = ""
    for term in terms:
        negative, body = _term(term, moment=moment)
        if written:
            written += f" − {body}" if negative else f" + {body}"
        else:
            written = f"−{body}" if negative else body
    return written or "0"


def _term(term: Term, *, moment: bool) -> tuple[bool, str]:
    """Write one term without its sign."""
    factor = term.factor
    if term.value is None:
        symbol = _symbol(term.quantity)
        return factor < 0, symbol if abs(factor) == 1.0 and not moment else f"{_number(abs(factor))}·{symbol}"
    negative = (factor < 0) != (term.value < 0)
    size = _number(abs(term.value))
    return negative, size if abs(factor) == 1.0 and not moment else f"{_number(abs(factor))}·{size}"


def _results(results: tuple[Result, ...], force: str) -> list[str]:
    names = [_symbol(result.quantity) for result in results]
    sizes = [_number(result.value) for result in results]
    width = max((len(name) for name in names), default=0)
    size_width = max((len(size) for size in sizes), default=0)
    senses = {"T": " (T)", "C": " (C)", "0": " 0", "?": " (?)", "": ""}
    return [
        f"{name.rjust(width)} = {size.rjust(size_width)} {force}{senses[result.sense]}"
        for name, size, result in zip(names, sizes, results, strict=True)
    ]


def _symbol(quantity: Quantity) -> str:
    if quantity.kind == "member":
        short = all(len(name) == 1 for name in quantity.joints)
        return f"F_{('' if short else '–').join(quantity.joints)}"
    return f"{quantity.joints[0]}_{quantity.axis}"


def _list(members: tuple[tuple[str, str], ...]) -> str:
    return ", ".join(_symbol(Quantity("member", member)) for member in members)


def _way(value: float, axis: int) -> str:
    return ("right" if value > 0 else "left") if axis == 0 else ("up" if value > 0 else "down")


def _number(value: float) -> str:
    """Write a number to four figures, without an exponent where four figures and their zeros can be read."""
    if value == 0:
        return "0"
    if 1e-3 <= abs(value) < 1e7:
        written = f"{value:.{_FIGURES}g}"
        written = f"{float(written):.10f}".rstrip("0").rstrip(".") if "e" in written else written
    else:
        written = f"{value:.{_FIGURES - 1}e}"
    return written.replace("-", "−")
