"""What the tests of a day say of the class's own stock, material by material."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cli.strength.words import ROUGH
from cli.testday.outcome import BY_STICKS, Bridge
from solver.strength import StrengthUpdate, update_together

__all__ = ["OwnStock", "expected", "left_out", "own_stocks"]


@dataclass(frozen=True)
class OwnStock:
    """One material of the class after the tests."""

    material: str
    bridges: tuple[str, ...]
    """Whose tests count."""
    update: StrengthUpdate

    @property
    def sentence(self) -> str:
        """What the tests say, and how they were weighed."""
        count = len(self.bridges)
        tests = "one test" if count == 1 else f"{count} tests"
        return (
            f"{self.material}: {tests} ({', '.join(self.bridges)}). Your own stock is "
            f"{ROUGH.number(self.update.factor)} times as strong as the averages say "
            f"({ROUGH.number(self.update.low)} to {ROUGH.number(self.update.high)}). Each test counts by "
            f"how little such trusses scatter, together {self.update.weight:.0%}; the averages keep the "
            f"other {1 - self.update.weight:.0%}, since batches differ."
        )


def own_stocks(bridges: Sequence[Bridge]) -> tuple[OwnStock, ...]:
    """Return what is known of each material whose sticks let go in some test, in the order of the bridges."""
    groups: dict[str, list[Bridge]] = {}
    for bridge in bridges:
        if _counts(bridge):
            groups.setdefault(_material(bridge), []).append(bridge)
    found = []
    for material, group in groups.items():
        ratios = [(bridge.failure or 0.0) / bridge.predicted[0] for bridge in group]
        update = update_together(ratios, [bridge.log_spread for bridge in group])
        found.append(OwnStock(material, tuple(bridge.name for bridge in group), update))
    return tuple(found)


def _counts(bridge: Bridge) -> bool:
    """Say whether a test says something of the sticks: one of them let go."""
    let_go = bridge.record.let_go if bridge.record is not None else None
    return let_go is not None and bridge.held is not None and let_go.how in BY_STICKS


def left_out(bridges: Sequence[Bridge]) -> tuple[str, ...]:
    """Say of each tested bridge that does not count why it does not."""
    return tuple(
        f"{bridge.name} ({bridge.let_go or 'what let go is not written'}) says only that its sticks hold as "
        "much or more."
        for bridge in bridges
        if bridge.tested and not _counts(bridge)
    )


def expected(bridge: Bridge, stocks: Sequence[OwnStock]) -> float | None:
    """Return the load, N, that an untested bridge is now expected to hold; None where nothing was learnt."""
    for stock in stocks:
        if stock.material == _material(bridge):
            return bridge.predicted[0] * stock.update.factor
    return None


def _material(bridge: Bridge) -> str:
    """Return what the member that should go first is made of; of several, the first."""
    standing = bridge.answer.standing
    rows = {check.name: row for row, check in enumerate(standing.checks)}
    for name in bridge.prediction.first:
        row = rows.get(name, len(standing.pieces))
        if row < len(standing.pieces):
            return standing.pieces[row].material.name
    return standing.pieces[0].material.name
