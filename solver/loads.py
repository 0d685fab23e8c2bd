"""Loads brought to the joints: what acts there, and each share that was moved there, with its reason."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.truss import Truss

__all__ = ["LoadShare", "joint_loads", "load_shares"]


@dataclass(frozen=True)
class LoadShare:
    """A force that a joint takes on behalf of a spread load, a member's weight or a load between joints."""

    kind: str
    """`deck` (tributary length), `self-weight` (half to each end) or `lever rule`."""
    joint: str
    source: tuple[str, ...]
    """The deck joints in order, or the two ends of the member."""
    length: float
    """Length units: tributary length, half the member's length, or the lever arm from the member's other
    end."""
    whole: float
    """Length units: the whole deck's or member's length."""
    fx: float
    """Force units, to the right."""
    fy: float
    """Force units, up."""


def load_shares(truss: Truss) -> tuple[LoadShare, ...]:
    """List each share of a load that was not put on a joint by hand, in the order of the model."""
    return (*_deck_shares(truss), *_weight_shares(truss), *_lever_shares(truss))


def joint_loads(truss: Truss) -> NDArray[np.float64]:
    """Sum what acts on each joint.

    Returns
    -------
    (N, 2) float
        Force units, x right and y up: loads on joints, shares of deck loads, half of each member's weight at
        either end, and shares of loads between joints.
    """
    count = len(truss.joints)
    parts = [np.bincount(truss.load_rows, weights=part, minlength=count) for part in truss.load_vectors.T]
    loads = np.stack(parts, axis=1).astype(float)
    if truss.weights.any():
        half = 0.5 * truss.weights * truss.lengths
        loads[:, 1] -= np.bincount(truss.ends.ravel(), weights=np.repeat(half, 2), minlength=count)
    for share in (*_deck_shares(truss), *_lever_shares(truss)):
        loads[truss.row[share.joint]] += (share.fx, share.fy)
    return loads


def _deck_shares(truss: Truss) -> Iterator[LoadShare]:
    for deck in truss.deck_loads:
        at = truss.at[[truss.row[name] for name in deck.joints]]
        stretches = np.hypot(*np.diff(at, axis=0).T)
        tributary = 0.5 * (np.concatenate(([0.0], stretches)) + np.concatenate((stretches, [0.0])))
        whole = float(stretches.sum())
        for name, length in zip(deck.joints, tributary.tolist(), strict=True):
            yield LoadShare(
                "deck", name, tuple(deck.joints), length, whole, deck.fx * length, deck.fy * length
            )


def _weight_shares(truss: Truss) -> Iterator[LoadShare]:
    for member, length in zip(truss.members, truss.lengths.tolist(), strict=True):
        if member.weight:
            half = 0.5 * length
            for name in (member.start, member.end):
                ends = (member.start, member.end)
                yield LoadShare("self-weight", name, ends, half, length, 0.0, -member.weight * half)


def _lever_shares(truss: Truss) -> Iterator[LoadShare]:
    for load in truss.member_loads:
        ends = (load.start, load.end)
        length = float(np.hypot(*(truss.at[truss.row[load.end]] - truss.at[truss.row[load.start]])))
        arms = (length - load.distance, load.distance)
        for name, arm in zip(ends, arms, strict=True):
            part = arm / length
            yield LoadShare("lever rule", name, ends, arm, length, load.fx * part, load.fy * part)
