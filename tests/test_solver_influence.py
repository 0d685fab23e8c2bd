"""Influence lines and envelopes against the closed forms of the text books and brute force."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver import (
    Axle,
    Load,
    NoUniqueSolutionError,
    QuestionError,
    influence_lines,
    load_envelope,
    solve,
    train_envelope,
)
from tests.trusses import three_bar, through_truss

DECK = [f"L{i}" for i in range(7)]


def test_influence_lines_of_a_pratt_truss() -> None:
    """Chords follow the moment a b / (L h) at their opposite joint, diagonals the shear of their panel.

    Source: method of sections on the beam's influence lines, every text on structural analysis (from memory).
    """
    panel, height = 4.0, 3.0
    lines = influence_lines(through_truss("pratt", 6, panel=panel, height=height), DECK)
    x, span = np.arange(7) * panel, 6 * panel
    moment_at_2 = np.minimum(x * (span - 2 * panel), (span - x) * 2 * panel) / span
    assert lines.of("U1", "U2") == pytest.approx(-moment_at_2 / height, abs=1e-12)
    assert lines.of("L2", "L3") == pytest.approx(moment_at_2 / height, abs=1e-12)
    shear = np.where(x <= 2 * panel, -x / span, 1 - x / span)
    slant = np.hypot(panel, height) / height
    assert lines.of("U2", "L3") == pytest.approx(slant * shear, abs=1e-12)
    assert lines.of("L0", axis="y") == pytest.approx(1 - x / span, abs=1e-12)
    assert lines.of("L6", axis="n") == pytest.approx(x / span, abs=1e-12)


def test_lines_add_up_to_a_solution() -> None:
    """Ordinates times loads are the forces that those loads give together."""
    truss = through_truss("howe", 6)
    lines = influence_lines(truss, DECK)
    solution = solve(truss)
    forces = 10.0 * lines.ordinates[1:-1].sum(axis=0)
    assert forces[: len(truss.members)] == pytest.approx(solution.forces, abs=1e-10)


def test_single_load_envelope() -> None:
    """The worst place of one load is the peak of the line; a member never in tension says so."""
    lines = influence_lines(through_truss("pratt", 6), DECK)
    envelope = load_envelope(lines, 50.0)
    for index, quantity in enumerate(lines.quantities):
        ordinates = lines.ordinates[:, index]
        assert envelope.highest[index] == pytest.approx(50 * max(ordinates.max(), 0), abs=1e-10)
        assert envelope.lowest[index] == pytest.approx(50 * min(ordinates.min(), 0), abs=1e-10)
        if quantity.joints == ("U1", "U2"):
            assert envelope.highest_at[index] is None
            assert envelope.lowest_at[index] == pytest.approx(8.0)


def test_train_envelope_is_the_worst_of_all_places() -> None:
    """No place of a train on a fine grid is worse than the envelope, and the envelope is reached."""
    truss = through_truss("warren", 6)
    lines = influence_lines(truss, DECK)
    axles = (Axle(0.0, 30.0), Axle(3.0, 60.0), Axle(7.5, 60.0))
    envelope = train_envelope(lines, axles)
    fronts = np.linspace(-1.0, 33.0, 3401)
    table = np.array([sum(axle.load * lines.at(front - axle.behind) for axle in axles) for front in fronts])
    assert (table.max(axis=0) <= envelope.highest + 1e-9).all()
    assert (table.min(axis=0) >= envelope.lowest - 1e-9).all()
    assert table.max(axis=0) == pytest.approx(envelope.highest, abs=0.15)
    assert table.min(axis=0) == pytest.approx(envelope.lowest, abs=0.15)
    for index in range(len(truss.members)):
        front = envelope.highest_at[index]
        if front is not None:
            force = sum(axle.load * lines.at(front - axle.behind)[index] for axle in axles)
            assert force == pytest.approx(envelope.highest[index], abs=1e-6)


def test_deck_faults() -> None:
    """A deck of unknown, single or repeated joints, a truss without one answer and odd axles are refused."""
    truss = through_truss("pratt", 4)
    for deck, words in ((["L0", "Q"], "no joint Q"), (["L0"], "at least two"), (["L0", "L1", "L0"], "once")):
        with pytest.raises(QuestionError, match=words):
            influence_lines(truss, deck)
    with pytest.raises(NoUniqueSolutionError):
        influence_lines(replace(three_bar(), members=three_bar().members[:2]), ["A", "B"])
    lines = influence_lines(replace(truss, loads=()), ["L0", "L1"])
    for axles in ((), (Axle(-1.0, 1.0),), (Axle(0.0, float("nan")),)):
        with pytest.raises(QuestionError, match="axle"):
            train_envelope(lines, axles)
    with pytest.raises(QuestionError, match="no member"):
        lines.of("L0", "U2")


def test_loads_of_the_model_play_no_part() -> None:
    """Influence lines are of the truss alone."""
    truss = through_truss("pratt", 6)
    other = replace(truss, loads=(Load("L1", 5.0, 5.0),))
    assert np.array_equal(influence_lines(truss, DECK).ordinates, influence_lines(other, DECK).ordinates)


def test_a_load_coming_on_at_an_overhang_counts_at_once() -> None:
    """Where the deck ends beyond its supports, an axle is felt as soon as it is on.

    Gone once it is off.
    """
    truss = through_truss("warren", 5)
    left, right = truss.supports
    truss = replace(truss, supports=(replace(left, joint="L1"), replace(right, joint="L4")))
    lines = influence_lines(truss, DECK[:6])
    axles = (Axle(0.0, 10.0), Axle(4.0, 30.0))
    envelope = train_envelope(lines, axles)
    fronts = np.linspace(-0.5, 24.5, 25001)
    table = np.array([sum(axle.load * lines.at(front - axle.behind) for axle in axles) for front in fronts])
    assert table.max(axis=0) == pytest.approx(envelope.highest, abs=0.03)
    assert table.min(axis=0) == pytest.approx(envelope.lowest, abs=0.03)


def test_an_axle_leaving_at_the_far_end_counts_at_once() -> None:
    """Once the front axle has gone off an overhang, it no longer relieves the support at the other end.

    By hand: supports at 0 and 12 m, deck to 20 m. With 50 kN in front and 80 kN 18 m behind, the front leaves
    when 80 kN stand at 2 m, where 10/12 of them go to the near support: more than 50 kN on it alone, or 80 kN
    on it less 50 * 6 / 12 of lift from the front.
    """
    truss = through_truss("warren", 5, panel=4.0)
    left, right = truss.supports
    truss = replace(truss, supports=(left, replace(right, joint="L3")))
    lines = influence_lines(truss, DECK[:6])
    envelope = train_envelope(lines, (Axle(0.0, 50.0), Axle(18.0, 80.0)))
    index = next(
        place
        for place, quantity in enumerate(lines.quantities)
        if quantity.kind == "reaction" and quantity.joints == ("L0",) and quantity.axis == "y"
    )
    assert envelope.highest[index] == pytest.approx(80.0 * 10 / 12)
    assert envelope.highest_at[index] == pytest.approx(20.0)
