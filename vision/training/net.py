"""The network: residual 3x3 convolutions at strides 4 to 32 and an additive way back to stride 4."""

from __future__ import annotations

import torch
from torch import Tensor, nn

__all__ = ["MapNet"]

_STEM, _WIDTHS = 24, (32, 64, 112, 144)
_DEPTHS = (2, 3, 4)
_BOTTOM = (1, 2, 4, 8, 2, 1)
"""Dilations at stride 32: together they see 1,000 px to each side, which near and far planes need."""


class _Unit(nn.Sequential):
    """Convolution, batch norm, perhaps a rectifier."""

    def __init__(self, inner: int, outer: int, kernel: int = 3, *, stride: int = 1, dilation: int = 1,
                 active: bool = True) -> None:  # fmt: skip
        pad = dilation * (kernel // 2)
        parts: list[nn.Module] = [
            nn.Conv2d(inner, outer, kernel, stride=stride, padding=pad, dilation=dilation, bias=False),
            nn.BatchNorm2d(outer, momentum=0.05),
        ]
        if active:
            parts.append(nn.ReLU(inplace=True))
        super().__init__(*parts)


class _Block(nn.Module):
    """Two 3x3 convolutions added to what came in."""

    def __init__(self, width: int, dilation: int = 1) -> None:
        super().__init__()
        self.first = _Unit(width, width, dilation=dilation)
        self.second = _Unit(width, width, active=False)
        # A block starts as nothing at all, so that a deep stack learns from the first step.
        norm = self.second[1]
        assert isinstance(norm, nn.BatchNorm2d)
        nn.init.constant_(norm.weight, 0.25)

    def forward(self, x: Tensor) -> Tensor:
        return torch.relu(x + self.second(self.first(x)))


class _Surroundings(nn.Module):
    """Adds what the whole picture looks like to every place."""

    def __init__(self, width: int) -> None:
        super().__init__()
        self.mix = nn.Conv2d(width, width, 1)

    def forward(self, x: Tensor) -> Tensor:
        return x + torch.relu(self.mix(x.mean((2, 3), keepdim=True)))


class MapNet(nn.Module):
    """Maps of a picture at a quarter of its size.

    Input (B, 3, H, W), RGB 0 to 1, H and W multiples of 32. Output (B, `channels`, H/4, W/4) logits.
    """

    def __init__(self, channels: int) -> None:
        super().__init__()
        a, b, c, d = _WIDTHS
        self.stem = nn.Sequential(_Unit(3, _STEM, 5, stride=2), _Unit(_STEM, a, stride=2))
        self.at4 = nn.Sequential(*(_Block(a) for _ in range(_DEPTHS[0])))
        self.at8 = nn.Sequential(_Unit(a, b, stride=2), *(_Block(b) for _ in range(_DEPTHS[1])))
        self.at16 = nn.Sequential(_Unit(b, c, stride=2), *(_Block(c) for _ in range(_DEPTHS[2])))
        self.at32 = nn.Sequential(
            _Unit(c, d, stride=2), *(_Block(d, k) for k in _BOTTOM[:3]), _Surroundings(d),
            *(_Block(d, k) for k in _BOTTOM[3:]),
        )  # fmt: skip
        self.up16, self.up8, self.up4 = nn.Conv2d(d, c, 1), nn.Conv2d(c, b, 1), nn.Conv2d(b, a, 1)
        self.back16 = nn.Sequential(_Block(c), _Block(c))
        self.back8 = nn.Sequential(_Block(b), _Block(b))
        self.back4 = _Block(a)
        self.head = nn.Sequential(_Unit(a, 48), nn.Conv2d(48, channels, 1))
        last = self.head[1]
        assert isinstance(last, nn.Conv2d)
        assert last.bias is not None
        nn.init.constant_(last.bias, -4.0)  # almost everything is ground: start by saying so

    def forward(self, x: Tensor) -> Tensor:
        """Return the logits of the maps."""
        at4 = self.at4(self.stem(x * 2 - 1))
        at8 = self.at8(at4)
        at16 = self.at16(at8)
        at32 = self.at32(at16)
        x = self.back16(at16 + _twice(self.up16(at32)))
        x = self.back8(at8 + _twice(self.up8(x)))
        x = self.back4(at4 + _twice(self.up4(x)))
        out: Tensor = self.head(x)
        return out


def _twice(x: Tensor) -> Tensor:
    return nn.functional.interpolate(x, scale_factor=2, mode="nearest")
