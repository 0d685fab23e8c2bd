"""Fit how sure joints and members are: `python -m vision.training.fit_sureness --pages 20` prints the curves.

Pages of the tuning seeds are read as the program does; each joint and member read is right or not. A logistic
curve goes through what `vision.sureness` calls its signs. No slope may fall below 0: signs of one member go
together so closely that a free fit gives the one too much and takes it back with another.
"""

from __future__ import annotations

import argparse
import logging
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment, minimize
from scipy.spatial.distance import cdist, pdist

from vision.decode import Structure
from vision.sizes import sight
from vision.sureness import joint_signs, member_signs
from vision.training.maker import FAMILIES, make_page

__all__ = ["Read", "fit_curve", "fit_sureness", "matched", "read_pages"]

FIRST_SEED = 800_100
"""Of the tuning seeds, which may be looked at; those before are the scoreboard's."""
FOUND_WITHIN = 0.025
"""Of the drawing's largest dimension: a joint this near to the truth is right."""
RIDGE = 1.0
"""Weight of the squared slopes, of signs brought to a standard deviation of 1, against the log likelihood."""
_SIZES = (800, 1024, 1600)

Values = NDArray[np.float64]
Read = tuple[Structure, Values, tuple[tuple[int, int], ...]]
"""What was read of a page, its true joints (N, 2) in pixels, its true members."""


def read_pages(families: Iterable[str], seeds: Iterable[int]) -> Iterator[Read]:
    """Make pages and read each."""
    kinds = tuple(families)
    for seed in seeds:
        for family in kinds:
            page = make_page(seed, family=family, size=_SIZES[seed % len(_SIZES)])
            yield sight(page.rgb).structure, page.joints, page.members


def matched(truth: Values, places: Values) -> NDArray[np.int64]:
    """Return the row of the true joint at each place (N,), -1 where there is none."""
    row = np.full(len(places), -1)
    if len(truth) < 2 or not len(places):
        return row
    away = cdist(truth, places) / pdist(truth).max()
    cost = np.where(away <= FOUND_WITHIN, away, 1.0 + len(truth))
    for true, place in zip(*linear_sum_assignment(cost), strict=True):
        if away[true, place] <= FOUND_WITHIN:
            row[place] = true
    return row


def fit_curve(signs: Values, right: NDArray[np.bool_]) -> tuple[float, ...]:
    """Fit start and slopes of log odds by penalized likelihood, no slope below 0.

    Parameters
    ----------
    signs : (N, K) float
    right : (N,) bool
    """
    middle, spread = signs.mean(axis=0), np.maximum(signs.std(axis=0), 1e-6)
    x, sign = (signs - middle) / spread, np.where(right, 1.0, -1.0)

    def loss(at: Values) -> tuple[float, Values]:
        margin = sign * (at[0] + x @ at[1:])
        pull = -sign / (1 + np.exp(np.clip(margin, -50, 50)))
        value = float(np.logaddexp(0, -margin).sum() + RIDGE / 2 * (at[1:] ** 2).sum())
        return value, np.concatenate([[pull.sum()], x.T @ pull + RIDGE * at[1:]])

    bounds = [(None, None)] + [(0.0, None)] * signs.shape[1]
    at = minimize(loss, np.zeros(signs.shape[1] + 1), jac=True, method="L-BFGS-B", bounds=bounds).x
    slopes = at[1:] / spread
    return float(at[0] - slopes @ middle), *slopes.tolist()


def fit_sureness(pages: Iterable[Read]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Fit the curve of the joints and that of the members."""
    joints: list[tuple[Values, NDArray[np.bool_]]] = []
    members: list[tuple[Values, NDArray[np.bool_]]] = []
    for read, at, pairs in pages:
        if not read.members:
            continue
        row = matched(at, read.joints)
        true = {(min(p), max(p)) for p in pairs}
        ends = np.sort(row[np.array(read.members)], axis=1)
        joints.append((joint_signs(read), row >= 0))
        members.append((member_signs(read), np.array([(int(a), int(b)) in true for a, b in ends])))
    one, two = (
        fit_curve(np.concatenate([s for s, _ in some]), np.concatenate([r for _, r in some]))
        for some in (joints, members)
    )
    return one, two


def main() -> None:
    """Fit on pages of the tuning seeds and print the curves for `vision.sureness`."""
    parser = argparse.ArgumentParser(description="Fit how sure joints and members are.")
    parser.add_argument("--pages", type=int, default=20, help="pages a family")
    parser.add_argument("--first", type=int, default=FIRST_SEED, help="first seed")
    given = parser.parse_args()
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    families = tuple(family for family in FAMILIES if family != "none")
    joint, member = fit_sureness(read_pages(families, range(given.first, given.first + given.pages)))
    for name, fitted in (("_JOINT", joint), ("_MEMBER", member)):
        logging.getLogger(__name__).info("%s = (%s)", name, ", ".join(f"{v:.2f}" for v in fitted))


if __name__ == "__main__":
    main()
