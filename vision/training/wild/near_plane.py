"""The near plane of a wild model: what is painted here, and only this, is its truth."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vision.training.wild.bands import paint_band
from vision.training.wild.marks import Marks
from vision.training.wild.model import Model
from vision.training.wild.space import Pairs
from vision.training.wild.stock import Colour, paint_member, shade, thin_line
from vision.training.wild.strokes import bowed

__all__ = ["paint_near_plane"]

Points = NDArray[np.float64]

_SHARPEST = 0.6
"""Radians: a strip bent more sharply at one joint would break."""
_BOW = 0.012
"""A member that bows by more than this part of its length is labelled along its bow."""


def _long_chords(model: Model) -> dict[tuple[int, int], tuple[int, ...]]:
    """Choose the chords that are one long stick; return the run that each of their members lies in."""
    if model.rng.random() > (0.5 if model.stock.family != "round" else 0.2):
        return {}
    pairs = set(model.space.near_pairs)
    found: dict[tuple[int, int], tuple[int, ...]] = {}
    for run in model.space.runs:
        steps = [(min(p), max(p)) for p in pairwise(run)]
        at = model.space.at[list(run)]
        line = at[-1] - at[0]
        length = max(float(np.linalg.norm(line)), 1e-6)
        off = np.linalg.norm(np.cross(at - at[0], line / length), axis=1).max() if len(run) > 2 else 1.0
        if off < 0.004 and all(p in pairs for p in steps):
            found |= dict.fromkeys(steps, run)
    return found


def _bent(model: Model) -> dict[tuple[int, int], float]:
    """Choose curved chords that are bent strips; return the bow of each of their members."""
    found: dict[tuple[int, int], float] = {}
    if model.rng.random() > 0.25:
        return found
    for run in model.space.runs:
        at = model.at[list(run)]
        way = np.diff(at, axis=0)
        turn = np.arctan2(way[:, 1], way[:, 0])
        turns = (np.diff(turn) + np.pi) % (2 * np.pi) - np.pi
        if len(turns) == 0 or np.abs(turns).max() > _SHARPEST or np.abs(turns).mean() < 0.03:
            continue
        # An arc that turns by t bows by t / 8 of its chord; each member shares the turns at its ends.
        share = np.pad(turns, 1, mode="edge")
        for k, (a, b) in enumerate(pairwise(run)):
            bow = -float(share[k] + share[k + 1]) / 16
            found[min(a, b), max(a, b)] = bow if a < b else -bow
    return found


def _cut_from_sheet(model: Model) -> None:
    """Paint the near plane as one piece, cut from a sheet or printed: no member lies over another."""
    rng, space, at = model.rng, model.space, model.at
    colour = model.stock.palette[0]
    fillet, hole = rng.uniform(0.4, 0.95), rng.random() < 0.4
    thick = np.array([rng.normal(0, 0.25), rng.uniform(0.1, 0.5)])
    for tone, move in ((0.55, 1.0), (1.0, 0.0)):  # the cut edge, then the face
        for a, b in space.near_pairs:
            width = model.stock.width * float(model.span[[a, b]].mean())
            thin_line(model.picture, at[[a, b]] + thick * width * move, shade(colour, tone), width)
        for i in range(space.near):
            width = model.stock.width * float(model.span[i])
            spot = at[i] + thick * width * move
            thin_line(model.picture, np.stack([spot, spot]), shade(colour, tone), 2 * fillet * width)
            if hole and move == 0:
                thin_line(model.picture, at[[i, i]], shade(colour, 0.3), 0.4 * width)


def _spliced(model: Model, run: tuple[int, ...], colour: Colour) -> None:
    """Paint a chord of several sticks that lap each other anywhere, also amid a panel: no joint is there."""
    rng, first, last = model.rng, run[0], run[-1]
    cuts = np.sort(rng.uniform(0.12, 0.88, int(rng.integers(1, 4))))
    edges = [0.0, *cuts.tolist(), 1.0]
    way = model.at[last] - model.at[first]
    width = model.stock.width * model.span[[first, last]]
    length = max(float(np.hypot(*way)), 1e-6)
    side = np.array([-way[1], way[0]]) / length
    for k in rng.permutation(len(edges) - 1).tolist():
        lap = width.mean() * rng.uniform(0.1, 2.5, 2) / length
        ends = np.array([edges[k] - lap[0], edges[k + 1] + lap[1]])
        aside = side * width.mean() * rng.normal(0, 0.08)
        path = model.at[first] + ends[:, None] * way + aside
        half = np.interp(ends, [0, 1], width) / 2
        tone = shade(colour, rng.uniform(0.92, 1.08))
        paint_member(rng, model.picture, path, half, stock=model.stock, colour=tone)


def _sticks(model: Model, marks: Marks) -> None:
    """Paint the near plane stick by stick in some order of layers."""
    rng, space, at = model.rng, model.space, model.at
    sag = rng.choice([0.0, 0.0, 0.01, 0.025])
    long, bent = _long_chords(model), _bent(model)
    order = [space.near_pairs[int(i)] for i in rng.permutation(len(space.near_pairs))]
    if rng.random() < 0.6:  # the chords under the web, or over it
        over = bool(rng.random() < 0.5)
        order.sort(key=lambda p: (p in long) == over)
    done: set[tuple[int, ...]] = set()
    spliced = rng.random() < 0.35
    for a, b in order:
        bow = float(np.clip(rng.normal(0, sag), -0.05, 0.05)) if (a, b) not in long else 0.0
        bow = bent.get((a, b), bow)
        run = long.get((a, b))
        if run is None:
            model.paint(a, b, model.stock_of(a, b), model.colour(a, b), bow=bow)
        elif run not in done:
            if spliced:
                _spliced(model, run, model.colour(a, b))
            else:
                model.paint(run[0], run[-1], model.stock, model.colour(a, b))
            done.add(run)
        path = bowed(at[a], at[b], bow, 4) if abs(bow) > _BOW else np.stack([at[a], at[b]])
        marks.lines.append(np.hstack([path[:-1], path[1:]]))
    if done and rng.random() < 0.25:  # a second stick over the web
        for run in sorted(done):
            model.paint(run[0], run[-1], model.stock, shade(model.colour(run[0], run[1]), 1.06))


def _banded(model: Model, pairs: Pairs) -> None:
    """Put washers, bands, clips and tags on some members, none of them at a joint."""
    rng = model.rng
    for _ in range(int(rng.integers(1, 8))):
        a, b = pairs[int(rng.integers(len(pairs)))]
        run = model.at[b] - model.at[a]
        length = float(np.hypot(*run))
        width = model.stock_of(a, b).width * float(model.span[a])
        # What sits closer to a joint than this would be taken for part of it.
        part = float(rng.uniform(0.1, 0.22)) if rng.random() < 0.5 else float(rng.uniform(0.1, 0.9))
        part = part if rng.random() < 0.5 else 1 - part
        if length > 7 * width:
            paint_band(rng, model.picture, model.at[a] + run * part, run / length, width)


def paint_near_plane(model: Model, marks: Marks) -> None:
    """Paint the near plane and what sits on it, and write down its truth."""
    rng, space, at = model.rng, model.space, model.at
    first = len(marks.joints)
    if model.stock.kind in {"printed", "ply", "card"} and rng.random() < 0.4:
        _cut_from_sheet(model)
        marks.lines += [np.concatenate([at[a], at[b]])[None] for a, b in space.near_pairs]
        model = replace(model, knot=replace(model.knot, kind="none"))
    else:
        _sticks(model, marks)
    if rng.random() < 0.15:
        _banded(model, (*space.near_pairs, *space.ties))
    if space.rests and rng.random() < 0.6:
        small = replace(model, knot=replace(model.knot, size=model.knot.size * rng.uniform(0.4, 0.9)))
        small.knots(list(space.rests), space.ties, 1.0)
    model.knots(list(range(space.near)), space.near_pairs, 1.0)
    marks.joints += list(at[: space.near])
    marks.members += [(first + a, first + b) for a, b in space.near_pairs]
