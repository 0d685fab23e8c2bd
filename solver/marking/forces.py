"""Marks of reactions and member forces, once a paper is explained: size and sense apart."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from solver.marking.account import Account
from solver.marking.answers import Answers
from solver.marking.comparison import Found
from solver.marking.key import Key
from solver.marking.paper import Paper
from solver.marking.records import Finding, Mark
from solver.marking.rubric import Rubric
from solver.marking.simple import unanswered
from solver.steps import Quantity

__all__ = ["ForceMarks", "Hits", "hits_of"]

_SLIGHT = 1e-6
"""Factor below which a number is not in an equation."""


@dataclass(frozen=True)
class Hits:
    """What the slips that were found hit first; what comes later has followed."""

    sizes: frozenset[int] = frozenset()
    senses: frozenset[int] = frozenset()
    units: frozenset[int] = frozenset()
    each: tuple[tuple[int, ...], ...] = field(default=())
    """Columns by slip."""


def hits_of(key: Key, paper: Paper, account: Account, found: tuple[Found, ...]) -> Hits:
    """Tell which columns each slip hit first.

    A slip repeated throughout is paid for once: in the first body, or the first number, of the worked order.
    """
    each = tuple(_hit_by(key, paper, account, item) for item in found)
    by: dict[str, set[int]] = {"size": set(), "sense": set(), "unit": set()}
    for item, columns in zip(found, each, strict=True):
        kind = item.choices[0].slip.kind
        by[{"sense": "sense", "direction": "sense", "unit": "unit"}.get(kind, "size")].update(columns)
    return Hits(frozenset(by["size"]), frozenset(by["sense"]), frozenset(by["unit"]), each)


def _hit_by(key: Key, paper: Paper, account: Account, item: Found) -> tuple[int, ...]:
    hypothesis, rank = item.choices[0], key.rank
    if hypothesis.values:
        columns = sorted(hypothesis.values, key=lambda column: int(rank[column]))
        if hypothesis.slip.kind == "sense":
            return tuple(c for c in columns if abs(key.values[c]) > paper.tolerance[c])[:1]
        return tuple(columns)
    if hypothesis.slip.kind == "reactions swapped":
        pair = np.flatnonzero(_exchanged_columns(item))
        return tuple(column for column in pair.tolist() if paper.wrong[column])
    by_body: dict[int, list[int]] = {}
    for column, body in account.chain.origin.items():
        if body in hypothesis.bodies:
            by_body.setdefault(body, []).append(column)
    if not by_body:
        return ()
    if not key.whole_first:
        by_body = {n: here for n, here in by_body.items() if n != len(key.exact.meeting)} or by_body
    number = min(by_body, key=lambda body: min(int(rank[column]) for column in by_body[body]))
    columns = sorted(by_body[number], key=lambda column: int(rank[column]))
    return _by_changed_rows(account, item, number, columns)


def _exchanged_columns(item: Found) -> NDArray[np.bool_]:
    """Find the columns whose factors a slip exchanged."""
    found = np.zeros(len(item.before.off), dtype=bool)
    for number, body in item.choices[0].bodies.items():
        found[body.columns[(body.factors != item.before.bodies[number].factors).any(axis=0)]] = True
    return found


def _by_changed_rows(account: Account, item: Found, number: int, columns: list[int]) -> tuple[int, ...]:
    """Leave out what an equation without the slip gives, of the numbers that one body gives."""
    rows = account.rows[number]
    old, new = item.before.bodies[number], item.choices[0].bodies[number]
    if old.pushes.shape != new.pushes.shape or len(rows.lacking) != len(new.axes):
        return tuple(columns)
    changed = (old.factors != new.factors).any(axis=1) | (old.pushes != new.pushes).any(axis=1)
    inside = {
        column: np.abs(rows.factors[:, rows.columns == column]).max(axis=1, initial=0.0) > _SLIGHT
        for column in columns
    }
    hit: list[int] = []
    left = list(columns)
    while left:
        alone = np.sum([inside[column] for column in left], axis=0) == 1
        sound = next((c for c in left if (inside[c] & alone & rows.held & ~changed).any()), None)
        slipped = next((c for c in left if (inside[c] & alone & rows.held & changed).any()), None)
        if sound is not None:
            left.remove(sound)
        elif slipped is not None:
            hit.append(slipped)
            left.remove(slipped)
        else:
            return (*hit, *left)
    return tuple(hit) or tuple(columns[:1])


@dataclass(frozen=True, eq=False)
class ForceMarks:
    """Marks forces of one paper."""

    key: Key
    paper: Paper
    account: Account
    found: tuple[Found, ...]
    hits: Hits
    rubric: Rubric

    def mark(self, answers: Answers, quantity: Quantity) -> Mark:
        """Mark one member force or reaction component."""
        column = self.key.column[quantity]
        key, rubric = float(self.key.values[column]), self.rubric
        member = quantity.kind == "member"
        size, sense = (rubric.member, rubric.sense) if member else (rubric.reaction, rubric.direction)
        tolerance = float(self.paper.tolerance[column])
        sensed = abs(key) > tolerance
        out_of = size + (sense if sensed else 0.0)
        if column not in self.paper.written:
            return unanswered(answers, quantity, key, out_of)
        outcome = self._size(column)
        told = self._sense(column, outcome) if sensed and sense else ""
        credit = size * self._share(outcome) + (sense * self._share(told) if sensed else 0.0)
        followed = "followed" in {outcome, told} and column in self.account.chain.origin
        body = self.account.chain.origin.get(column)
        return Mark(
            quantity,
            key,
            float(self.paper.sheet.values[column]),
            outcome,
            credit,
            out_of,
            tolerance,
            told,
            unit="wrong" if column in self.hits.units or column in self.paper.wrong_unit else "",
            own=self._own(column) if followed else None,
            origin=self.account.bodies[body].origin if followed and body is not None else None,
        )

    def _share(self, outcome: str) -> float:
        return {"right": 1.0, "followed": self.rubric.follow_through}.get(outcome, 0.0)

    def _size(self, column: int) -> str:
        value = float(self.paper.sheet.values[column])
        for item, columns in zip(self.found, self.hits.each, strict=True):
            slip = item.choices[0].slip
            if slip.kind == "unit" and column in columns and slip.factor:
                value /= slip.factor
        if abs(abs(value) - abs(self.key.values[column])) <= self.paper.tolerance[column]:
            return "right"
        if column in self.hits.sizes:
            return "wrong"
        return "followed" if column in self.account.chain.origin else "wrong"

    def _sense(self, column: int, size: str) -> str:
        answer = self.paper.written[column]
        value, key = float(self.paper.sheet.values[column]), float(self.key.values[column])
        if value == 0.0:
            return "followed" if size == "followed" else "wrong"
        if answer.sense == "" and answer.quantity.kind == "member":
            return "missing"
        if (value > 0) == (key > 0):
            return "right"
        if column in self.hits.senses or column in self.hits.sizes:
            return "wrong"
        meant = float(self.account.sheet.values[column])
        if (meant > 0) != (value > 0):
            return "followed"  # the repeat of one slip throughout
        return "followed" if column in self.account.chain.origin else "wrong"

    def _own(self, column: int) -> float | None:
        """Give what the equations that explain a number make of it, from the student's other numbers."""
        chain = self.account.chain
        rows = self.account.rows[chain.origin[column]]
        together = [c for c in chain.origin if chain.origin[c] == chain.origin[column]]
        places = [int(np.flatnonzero(rows.columns == c)[0]) for c in together if c in rows.columns]
        held = rows.held
        factors = rows.factors[held][:, places]
        if np.linalg.matrix_rank(factors, tol=1e-6) < len(places):
            return None
        values = self.account.sheet.values[rows.columns[places]]
        right = factors @ values - rows.lacking[held]
        found = np.linalg.lstsq(factors, right, rcond=None)[0]
        return float(found[together.index(column)])

    def findings(self) -> tuple[Finding, ...]:
        """Say what each slip explains, in the order of the worked solution."""
        rank = self.key.rank
        pairs = sorted(
            zip(self.found, self.hits.each, strict=True),
            key=lambda pair: min((int(rank[column]) for column in pair[1]), default=len(rank)),
        )
        return tuple(
            Finding(
                tuple(choice.slip for choice in item.choices),
                tuple(self.key.quantities[column] for column in self._explained(item, hit)),
                tuple(self.key.quantities[column] for column in hit),
                item.likelihood,
            )
            for item, hit in pairs
        )

    def _explained(self, item: Found, hit: tuple[int, ...]) -> list[int]:
        """List the wrong numbers that a slip hit and those that follow from them."""
        wrong = self.paper.wrong
        if item.choices[0].values:
            reached = set(item.choices[0].values)
        else:
            changed = item.choices[0].bodies
            reached = set(hit) | {c for c, body in self.account.chain.origin.items() if body in changed}
        # A number written wrongly and used rightly leads nowhere; all others lead on along the chain.
        earlier = set(self.account.chain.sources)
        for column, body in self.account.chain.origin.items():
            beside = set(self.account.bodies[body].columns.tolist()) & earlier
            if beside & reached and not item.choices[0].values:
                reached.add(column)
            earlier.add(column)
        return [column for column in np.flatnonzero(wrong).tolist() if column in reached]
