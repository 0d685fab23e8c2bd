"""From vector labels to target maps, on the device that trains; and the loss between maps."""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor

from vision.channels import CHANNELS, DIRECTIONS, FAR, HEAD, JOINT, LINES, OTHER, PIN, ROLLER, SHAFT, STRIDE

__all__ = ["Labels", "TargetSettings", "map_loss", "paint"]


@dataclass(frozen=True)
class TargetSettings:
    """Widths of what is painted, in cells of a map (4 px)."""

    joint_sigma: float = 1.4
    """Joint heat; doubled, joints 6 cells apart melt together."""
    line_sigma: float = 1.0
    """Across a line; doubled, members 15 degrees apart share their evidence far from the joint."""
    symbol_sigma: float = 2.5
    """Support kinds, painted at their joint."""
    head_sigma: float = 1.6
    """Tip of a load arrow."""


@dataclass(frozen=True, eq=False)
class Labels:
    """Labels of a batch, flat, in pixels of the network's input; the first column of each is the row."""

    size: tuple[int, int, int]
    """Batch, height, width of the input."""
    joints: Tensor
    """(N, 3) row, x, y."""
    lines: Tensor
    """(S, 5) row, x0, y0, x1, y1."""
    far_lines: Tensor
    arrows: Tensor
    pins: Tensor
    rollers: Tensor
    other: Tensor
    """(T, 9) row and four corners."""


def _spots(maps: Tensor, channel: int, points: Tensor, sigma: float) -> None:
    """Paint gaussian spots by maximum."""
    if len(points) == 0:
        return
    rows, height, width = maps.shape[0], maps.shape[2], maps.shape[3]
    reach = math.ceil(3 * sigma)
    offset = torch.arange(-reach, reach + 1, device=maps.device)
    oy, ox = torch.meshgrid(offset, offset, indexing="ij")
    centre = (points[:, 1:] - (STRIDE - 1) / 2) / STRIDE
    cell = centre.round().long()
    x, y = cell[:, :1] + ox.reshape(1, -1), cell[:, 1:] + oy.reshape(1, -1)
    value = torch.exp(-((x - centre[:, :1]) ** 2 + (y - centre[:, 1:]) ** 2) / (2 * sigma**2))
    row = points[:, :1].long().expand_as(x)
    inside = (x >= 0) & (x < width) & (y >= 0) & (y < height)
    index = ((row * CHANNELS + channel) * height + y) * width + x
    flat = maps.view(-1)
    flat.scatter_reduce_(0, index[inside], value[inside].to(maps.dtype), "amax")
    assert rows > 0


def _strip(lines: Tensor, size: tuple[int, int], sigma: float) -> tuple[Tensor, Tensor, Tensor, Tensor]:
    """Cells near each line and their value: x, y, value as (S, K), and the angle (S,) 0 to pi.

    Cells are found by stepping along the line and across it in steps shorter than a cell, and the value is
    taken at the cell's own centre, so that it is exact whatever the steps.
    """
    height, width = size
    a, b = (lines[:, 1:3] - (STRIDE - 1) / 2) / STRIDE, (lines[:, 3:5] - (STRIDE - 1) / 2) / STRIDE
    run = b - a
    length = run.norm(dim=1).clamp(min=1e-3)
    unit = run / length[:, None]
    side = torch.stack([-unit[:, 1], unit[:, 0]], 1)
    longest = min(float(length.max()), 1.5 * math.hypot(height, width)) if len(lines) else 1.0
    t = torch.linspace(0, 1, int(longest / 0.7) + 2, device=lines.device)
    reach = 2.6 * sigma
    s = torch.linspace(-reach, reach, 2 * int(reach / 0.7) + 3, device=lines.device)
    along = a[:, None, None] + t[None, :, None, None] * run[:, None, None]
    cells = (along + s[None, None, :, None] * side[:, None, None]).round()
    cells = cells.reshape(len(lines), -1, 2)
    rel = cells - a[:, None]
    u = (rel * unit[:, None]).sum(-1)
    v = (rel * side[:, None]).sum(-1)
    beyond = (u - u.clamp(min=0).minimum(length[:, None])).abs()
    value = torch.exp(-(v**2 + beyond**2) / (2 * sigma**2))
    angle = torch.remainder(torch.atan2(run[:, 1], run[:, 0]), math.pi)
    return cells[..., 0].long(), cells[..., 1].long(), value, angle


def _lines(maps: Tensor, channels: list[tuple[int, Tensor]], lines: Tensor, sigma: float) -> None:
    """Paint lines into channels by maximum, each channel with its own weight per line."""
    if len(lines) == 0:
        return
    height, width = maps.shape[2], maps.shape[3]
    x, y, value, _ = _strip(lines, (height, width), sigma)
    row = lines[:, :1].long().expand_as(x)
    inside = (x >= 0) & (x < width) & (y >= 0) & (y < height) & (value > 0.03)
    flat = maps.view(-1)
    for channel, weight in channels:
        chosen = inside & (weight[:, None] > 0)
        index = ((row[chosen] * CHANNELS + channel) * height + y[chosen]) * width + x[chosen]
        flat.scatter_reduce_(0, index, (value * weight[:, None])[chosen].to(maps.dtype), "amax")


def _oriented(maps: Tensor, lines: Tensor, sigma: float) -> None:
    """Paint lines into the direction maps: whole within half a bin, fading over the next one."""
    if len(lines) == 0:
        return
    run = lines[:, 3:5] - lines[:, 1:3]
    angle = torch.remainder(torch.atan2(run[:, 1], run[:, 0]), math.pi) / (math.pi / DIRECTIONS)
    weights = []
    for k in range(DIRECTIONS):
        off = torch.remainder(angle - k + DIRECTIONS / 2, DIRECTIONS) - DIRECTIONS / 2
        weights.append((LINES.start + k, (1.5 - off.abs()).clamp(0, 1)))
    _lines(maps, weights, lines, sigma)


def _boxes(maps: Tensor, quads: Tensor) -> None:
    """Fill quadrilaterals of other ink."""
    if len(quads) == 0:
        return
    height, width = maps.shape[2], maps.shape[3]
    corner = (quads[:, 1:].reshape(-1, 4, 2) - (STRIDE - 1) / 2) / STRIDE
    t = torch.linspace(0, 1, 48, device=maps.device)
    u, v = t[None, :, None, None], t[None, None, :, None]
    p = [corner[:, None, None, i] for i in range(4)]
    at = (p[0] * (1 - u) + p[1] * u) * (1 - v) + (p[3] * (1 - u) + p[2] * u) * v
    cell = at.round().long().reshape(len(quads), -1, 2)
    x, y = cell[..., 0], cell[..., 1]
    inside = (x >= 0) & (x < width) & (y >= 0) & (y < height)
    row = quads[:, :1].long().expand_as(x)
    index = ((row * CHANNELS + OTHER) * height + y) * width + x
    maps.view(-1)[index[inside]] = 1.0


def paint(labels: Labels, *, settings: TargetSettings | None = None) -> Tensor:
    """Paint the target maps of a batch, (B, CHANNELS, H/4, W/4), values 0 to 1."""
    s = settings or TargetSettings()
    batch, height, width = labels.size
    maps = torch.zeros((batch, CHANNELS, height // STRIDE, width // STRIDE), device=labels.joints.device)
    _spots(maps, JOINT, labels.joints, s.joint_sigma)
    _oriented(maps, labels.lines, s.line_sigma)
    ones = torch.ones(max(len(labels.far_lines), len(labels.arrows)), device=maps.device)
    _lines(maps, [(FAR, ones[: len(labels.far_lines)])], labels.far_lines, s.line_sigma)
    _lines(maps, [(SHAFT, ones[: len(labels.arrows)])], labels.arrows, s.line_sigma)
    _spots(maps, HEAD, labels.arrows[:, [0, 3, 4]], s.head_sigma)
    _spots(maps, PIN, labels.pins, s.symbol_sigma)
    _spots(maps, ROLLER, labels.rollers, s.symbol_sigma)
    _boxes(maps, labels.other)
    return maps


_WEIGHT = torch.tensor([5.0] + [1.0] * DIRECTIONS + [0.5, 0.5, 0.3, 0.5, 0.15, 0.4])


def map_loss(logits: Tensor, target: Tensor) -> Tensor:
    """Return the loss of each picture, (B,): cross entropy weighted by how wrong a cell is, positives up.

    A picture's loss is per line and joint of the whole batch, so that the mean is the batch's loss.

    Soft targets make plain cross entropy bottom out above zero; |prediction - target| as a weight brings the
    wrong cells forward and lets settled ones rest (after the quality focal loss, Li et al., NeurIPS 2020).
    """
    logits = logits.float()
    guess = torch.sigmoid(logits)
    wrong = (guess.detach() - target).abs()
    entropy = torch.nn.functional.binary_cross_entropy_with_logits(logits, target, reduction="none")
    floor = torch.nn.functional.binary_cross_entropy(target, target, reduction="none")
    weight = wrong * (1 + 3 * target) * _WEIGHT.to(logits.device)[None, :, None, None]
    return (weight * (entropy - floor)).sum((1, 2, 3)) / (target[:, :9].sum() / len(target) + 50.0)
