"""Pictures and their labels bent, lit and spoilt anew each time they are used, on the device that trains."""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional as F  # noqa: N812

__all__ = ["View", "choose_views", "move", "spoil", "take"]


@dataclass(frozen=True, eq=False)
class View:
    """How each picture of a batch is seen."""

    forward: Tensor
    """(B, 3, 3) homography, picture pixels to window pixels."""
    zoom: Tensor
    """(B,) window pixels per picture pixel."""


def _uniform(n: int, low: float, high: float, device: torch.device) -> Tensor:
    return torch.rand(n, device=device) * (high - low) + low


def choose_views(frame: Tensor, shortest: Tensor, upright: Tensor, window: int) -> View:
    """Choose scale, turn, flip, tilt and place for each picture.

    Parameters
    ----------
    frame : Tensor
        (B, 4) x0, y0, x1, y1 of the structure (of the whole picture where there is none), pixels.
    shortest : Tensor
        (B,) about the shortest member, pixels: kept above 14 px in the window so that labels stay apart.
    upright : Tensor
        (B,) bool, True where neither a large turn nor a flip upside down is allowed.
    window : int
        Side of the square window, pixels.
    """
    device, n = frame.device, len(frame)
    size = (frame[:, 2:] - frame[:, :2]).clamp(min=16)
    longest = size.max(1).values
    fills = torch.where(
        torch.rand(n, device=device) < 0.8,
        torch.exp(_uniform(n, math.log(0.25), math.log(0.98), device)),
        torch.exp(_uniform(n, math.log(0.9), math.log(1.8), device)),
    )
    zoom = torch.maximum(fills * window / longest, 14.0 / shortest.clamp(min=2)).clamp(0.2, 3.0)
    free = ~upright & (torch.rand(n, device=device) < 0.3)
    turn = torch.where(free, _uniform(n, -math.pi, math.pi, device), torch.randn(n, device=device) * 0.08)
    mirror = torch.where(torch.rand(n, device=device) < 0.5, -1.0, 1.0)
    flip = torch.where(~upright & (torch.rand(n, device=device) < 0.15), -1.0, 1.0)
    stretch = torch.exp(torch.randn(n, device=device) * 0.1)
    cos, sin, zero, one = (
        torch.cos(turn),
        torch.sin(turn),
        torch.zeros(n, device=device),
        torch.ones(n, device=device),
    )
    a = torch.stack([cos * mirror * stretch, -sin * flip, sin * mirror * stretch, cos * flip], 1).view(
        n, 2, 2
    )
    a = a * zoom[:, None, None]
    middle = (frame[:, :2] + frame[:, 2:]) / 2
    extent = (a.abs() @ (size / 2)[..., None])[..., 0]
    slack = (window / 2 - extent).abs().clamp(min=0.06 * window)
    to = window / 2 + (torch.rand(n, 2, device=device) * 2 - 1) * slack
    shift = to - (a @ middle[..., None])[..., 0]
    affine = torch.cat([torch.cat([a, shift[..., None]], 2), torch.stack([zero, zero, one], 1)[:, None]], 1)
    tilt = torch.randn(n, 2, device=device).clamp(-2, 2) * 0.07 / window
    centre = window / 2.0
    # The tilt works about the middle of the window: p -> c + (p - c) / (1 + tilt . (p - c)).
    k = 1 - centre * (tilt[:, 0] + tilt[:, 1])
    lens = torch.stack(
        [
            one + centre * tilt[:, 0], centre * tilt[:, 1], centre * (k - 1),
            centre * tilt[:, 0], one + centre * tilt[:, 1], centre * (k - 1),
            tilt[:, 0], tilt[:, 1], k,
        ], 1,
    ).view(n, 3, 3)  # fmt: skip
    return View(lens @ affine, zoom)


def move(view: View, points: Tensor, columns: int) -> Tensor:
    """Carry labels (N, 1 + columns), row first and then x, y pairs, into the window."""
    if len(points) == 0:
        return points
    matrix = view.forward[points[:, 0].long()]
    xy = points[:, 1:].reshape(len(points), columns // 2, 2)
    ones = torch.ones_like(xy[..., :1])
    out = torch.cat([xy, ones], -1) @ matrix.transpose(1, 2)
    out = out[..., :2] / out[..., 2:].clamp(min=0.05)
    return torch.cat([points[:, :1], out.reshape(len(points), columns)], 1)


def take(pool: Tensor, rows: Tensor, shape: Tensor, view: View, window: int) -> Tensor:
    """Cut the windows out of the pool: (B, 3, window, window) float, 0 to 1.

    Sampled at twice the window and averaged, so that a picture made smaller is not jagged. Outside the
    picture its border goes on, or for half of the batch one plain colour stands.
    """
    device, n = pool.device, len(rows)
    line = (torch.arange(2 * window, device=device) + 0.5) / 2 - 0.5
    y, x = torch.meshgrid(line, line, indexing="ij")
    grid = torch.stack([x, y, torch.ones_like(x)], -1).view(-1, 3)
    back = torch.linalg.inv(view.forward)
    at = grid[None] @ back.transpose(1, 2)
    at = at[..., :2] / at[..., 2:].clamp(min=1e-3)
    high = (shape.flip(1) - 1)[:, None].float()
    outside = ((at < -0.5) | (at > high + 0.5)).any(-1).view(n, 1, 2 * window, 2 * window)
    at = torch.minimum(at.clamp(min=0), high)
    full = torch.tensor([pool.shape[2], pool.shape[1]], device=device, dtype=torch.float32)
    norm = ((at + 0.5) / full * 2 - 1).view(n, 2 * window, 2 * window, 2)
    out = torch.empty((n, 3, window, window), device=device)
    plain = torch.rand(n, 3, device=device)
    use = torch.rand(n, device=device) < 0.5
    step = 16
    for i in range(0, n, step):
        j = slice(i, i + step)
        source = pool[rows[j]].permute(0, 3, 1, 2).float()
        # In half precision the grid would be off by half a pixel.
        cut = F.grid_sample(source, norm[j], padding_mode="border", align_corners=False) / 255
        cut = torch.where(outside[j] & use[j, None, None, None], plain[j, :, None, None], cut)
        out[j] = F.avg_pool2d(cut, 2)
    return out


def _some(n: int, part: float, device: torch.device) -> Tensor:
    return torch.nonzero(torch.rand(n, device=device) < part)[:, 0]


def _colour(x: Tensor) -> Tensor:
    """Invert some, mix channels, turn some grey, bend the brightness."""
    n, device = len(x), x.device
    flip = (torch.rand(n, device=device) < 0.12)[:, None, None, None]
    x = torch.where(flip, 1 - x, x)
    much = _uniform(n, 0, 0.15, device)[:, None, None]
    mix = torch.eye(3, device=device)[None] + torch.randn(n, 3, 3, device=device) * much
    grey = (torch.rand(n, device=device) < 0.12)[:, None, None]
    mix = torch.where(grey, torch.full_like(mix, 1 / 3), mix)
    swap = torch.rand(n, 3, device=device).argsort(1)
    chosen = (torch.rand(n, device=device) < 0.3)[:, None, None]
    mix = torch.where(chosen, torch.gather(mix, 1, swap[:, :, None].expand(n, 3, 3)), mix)
    x = torch.einsum("nij,njhw->nihw", mix, x)
    gain = torch.exp(torch.randn(n, 3, device=device) * 0.12 + torch.randn(n, 1, device=device) * 0.18)
    lift = torch.randn(n, 1, device=device) * 0.06
    x = (x * gain[..., None, None] + lift[..., None, None]).clamp(0, 1)
    gamma = torch.exp(torch.randn(n, device=device) * 0.3)[:, None, None, None]
    return (x + 1e-4) ** gamma


def _light(x: Tensor) -> Tensor:
    """Multiply by smooth uneven light, now and then with the hard edge of a shadow."""
    n, device, size = len(x), x.device, x.shape[-1]
    field = torch.randn(n, 1, 4, 4, device=device) * _uniform(n, 0, 0.3, device)[:, None, None, None]
    x = x * torch.exp(F.interpolate(field, size=(size, size), mode="bicubic", align_corners=True)).clamp(
        0.3, 1.8
    )
    some = _some(n, 0.15, device)
    if len(some):
        field = F.interpolate(
            torch.randn(len(some), 1, 5, 5, device=device), size=(size, size), mode="bicubic"
        )
        sharp = torch.exp(_uniform(len(some), 0.5, 3.5, device))[:, None, None, None]
        deep = _uniform(len(some), 0.1, 0.6, device)[:, None, None, None]
        x[some] = x[some] * (1 - deep * torch.sigmoid(field * sharp))
    return x


def _blur(x: Tensor) -> Tensor:
    """Blur some out of focus, some along a motion; one kernel a call, new each time."""
    device = x.device
    for part, motion in ((0.3, False), (0.08, True)):
        some = _some(len(x), part, device)
        if not len(some):
            continue
        span = torch.arange(-5, 6, device=device, dtype=torch.float32)
        ky, kx = torch.meshgrid(span, span, indexing="ij")
        sigma, thin, turn = float(torch.rand(()) * 1.8 + 0.4), 0.5, float(torch.rand(()) * math.pi)
        u = kx * math.cos(turn) + ky * math.sin(turn)
        v = -kx * math.sin(turn) + ky * math.cos(turn)
        kernel = torch.exp(-(u**2) / (2 * sigma**2) - v**2 / (2 * (thin if motion else sigma) ** 2))
        kernel = (kernel / kernel.sum())[None, None].expand(3, 1, 11, 11)
        x[some] = F.conv2d(F.pad(x[some], (5, 5, 5, 5), mode="replicate"), kernel, groups=3)
    return x


def _coarse(x: Tensor) -> Tensor:
    """Make some pictures as coarse as small ones blown up."""
    some = _some(len(x), 0.15, x.device)
    if len(some):
        size = x.shape[-1]
        small = int(size / float(torch.rand(()) * 2.2 + 1.3))
        low = F.interpolate(x[some], size=(small, small), mode="bilinear", antialias=True)
        x[some] = F.interpolate(low, size=(size, size), mode="bicubic").clamp(0, 1)
    return x


_LUMA = torch.tensor(
    [
        [16, 11, 10, 16, 24, 40, 51, 61], [12, 12, 14, 19, 26, 58, 60, 55], [14, 13, 16, 24, 40, 57, 69, 56],
        [14, 17, 22, 29, 51, 87, 80, 62], [18, 22, 37, 56, 68, 109, 103, 77],
        [24, 35, 55, 64, 81, 104, 113, 92],
        [49, 64, 78, 87, 103, 121, 120, 101], [72, 92, 95, 98, 112, 100, 103, 99],
    ], dtype=torch.float32,
)  # fmt: skip
"""Luminance table of ISO/IEC 10918-1, annex K.1."""


def _jpeg(x: Tensor) -> Tensor:
    """Quantise 8x8 cosine blocks of some pictures as JPEG does, all three channels alike."""
    device = x.device
    some = _some(len(x), 0.3, device)
    if not len(some):
        return x
    k = torch.arange(8, dtype=torch.float32)
    dct = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) * math.sqrt(2 / 8)
    dct[0] /= math.sqrt(2)
    dct = dct.to(device)
    table = (
        _LUMA.to(device) * torch.exp(_uniform(len(some), -1.2, 1.0, device))[:, None, None, None, None, None]
    )
    size = x.shape[-1]
    block = (x[some] * 255 - 128).view(len(some), 3, size // 8, 8, size // 8, 8).permute(0, 1, 2, 4, 3, 5)
    spectrum = dct @ block @ dct.T
    spectrum = (spectrum / table).round() * table
    block = (dct.T @ spectrum @ dct).permute(0, 1, 2, 4, 3, 5).reshape(len(some), 3, size, size)
    x[some] = ((block + 128) / 255).clamp(0, 1)
    return x


def spoil(x: Tensor) -> Tensor:
    """Do to a batch of pictures what cameras and light do; (B, 3, H, W) float, 0 to 1."""
    x = _light(_colour(x))
    x = _coarse(_blur(x.clamp(0, 1)))
    n, device = len(x), x.device
    x = x + torch.randn_like(x) * (_uniform(n, 0, 1, device) ** 2 * 0.08)[:, None, None, None]
    return _jpeg(x.clamp(0, 1))
