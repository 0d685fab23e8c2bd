"""Train the second look at supports: `python -m vision.training.support_kinds vision/weights/supports.onnx`.

Small enough for two cores without an accelerator. Crops are made once; each time one is used it is turned,
moved, scaled, spoilt and perhaps inverted anew.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import onnx
import torch
from numpy.typing import NDArray
from torch import Tensor, nn

from vision.support_look import CROP_SIDE, KINDS, even_out
from vision.training.support_crops import FIRST_SEED, SIDE, WIDE, SupportCrop, make_crops

__all__ = ["KindNet", "KindSettings", "export", "main", "train"]


@dataclass(frozen=True)
class KindSettings:
    """How the small network is trained."""

    pages: int = 5000
    """Made pictures; about 1.2 supports come from each."""
    minutes: float = 8.0
    batch: int = 64
    rate: float = 4e-3
    """Of AdamW at the top; it rises over the first twentieth and falls as a cosine."""
    turned: float = 0.3
    """Part of the crops turned any way; the others stay within 15 degrees, as photographs do."""
    moved: float = 0.05
    """Standard deviation of the joint's place, of the crop's side."""
    scaled: float = 0.2
    """Standard deviation of the logarithm of the scale."""
    normal_weight: float = 0.5
    """Of the direction's loss beside the kind's."""
    held_out: int = 900
    """Crops never trained on, a third of each kind."""
    begin: str = ""
    """Weights of an earlier run to go on from, or nothing."""
    told_every: float = 90.0
    """Seconds between looks at the crops held out."""


class KindNet(nn.Sequential):
    """Crop (N, 1, 64, 64) to three logits and the normal (N, 5); four million multiplications a crop."""

    def __init__(self) -> None:
        parts: list[nn.Module] = []
        for inner, outer, kernel, stride in ((1, 16, 5, 2), (16, 24, 3, 1), (24, 32, 3, 2), (32, 48, 3, 1)):
            parts += [
                nn.Conv2d(inner, outer, kernel, stride=stride, padding=kernel // 2, bias=False),
                nn.BatchNorm2d(outer),
                nn.ReLU(inplace=True),
            ]
            if outer in {24, 48}:
                parts.append(nn.MaxPool2d(2))
        # Where something stands matters as much as what: the last 4 x 4 places are not averaged away.
        parts += [nn.Conv2d(48, 64, 3, stride=1, padding=1, bias=False), nn.BatchNorm2d(64)]
        parts += [nn.ReLU(inplace=True), nn.Flatten(), nn.Dropout(0.25), nn.Linear(64 * 16, 48)]
        parts += [nn.ReLU(inplace=True), nn.Linear(48, len(KINDS) + 2)]
        super().__init__(*parts)


def gather(pages: int, workers: int) -> list[SupportCrop]:
    """Make all crops."""
    with ProcessPoolExecutor(workers, initializer=cv2.setNumThreads, initargs=(1,)) as pool:
        seeds = range(FIRST_SEED, FIRST_SEED + pages)
        return [crop for crops in pool.map(_crops, seeds, chunksize=16) for crop in crops]


def _crops(seed: int) -> list[SupportCrop]:
    return list(make_crops(seed))


def _bent(crop: SupportCrop, s: KindSettings, rng: np.random.Generator) -> tuple[NDArray[np.float32], Tensor]:
    """Show a crop as another photograph might, and turn its normal with it."""
    turn = rng.uniform(-np.pi, np.pi) if rng.random() < s.turned else rng.normal(0, np.radians(7))
    flip = rng.random() < 0.5
    scale = float(np.exp(rng.normal(0, s.scaled))) * SIDE / (CROP_SIDE * WIDE)
    rotate = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    mirror = np.diag([-1.0 if flip else 1.0, 1.0])
    # Output pixel to crop pixel.
    inward = scale * mirror @ rotate.T
    middle = (CROP_SIDE - 1) / 2
    shift = np.full(2, (SIDE - 1) / 2) - inward @ (np.full(2, middle) + rng.normal(0, s.moved * CROP_SIDE, 2))
    soft = crop.gray
    if scale > 1:
        soft = np.asarray(cv2.GaussianBlur(soft, (0, 0), 0.35 * scale), np.uint8)
    seen: NDArray[Any] = cv2.warpAffine(
        soft, np.column_stack([inward, shift]), (CROP_SIDE, CROP_SIDE),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE,
    ).astype(np.float32)  # fmt: skip
    if rng.random() < 0.3:
        seen = cv2.GaussianBlur(seen, (0, 0), rng.uniform(0.3, 1.1))
    if rng.random() < 0.3:
        seen = 255 - seen
    seen = seen + rng.normal(0, rng.uniform(0, 8), seen.shape)
    normal = rotate @ mirror @ np.array(crop.normal)
    return np.asarray(seen, np.float32), torch.tensor([float(crop.kind), *normal.tolist()])


def _batches(
    crops: list[SupportCrop], s: KindSettings, rng: np.random.Generator
) -> Iterator[tuple[Tensor, Tensor]]:
    """Batches without end, a third of each kind."""
    by_kind = [_of(crops, kind) for kind in range(len(KINDS))]
    while True:
        chosen = [by_kind[k % 3][int(rng.integers(len(by_kind[k % 3])))] for k in range(s.batch)]
        shown = [_bent(crop, s, rng) for crop in chosen]
        pictures = even_out(np.stack([picture for picture, _ in shown]))
        yield torch.from_numpy(pictures[:, None]), torch.stack([truth for _, truth in shown])


def _loss(told: Tensor, truth: Tensor, s: KindSettings) -> Tensor:
    kind = nn.functional.cross_entropy(told[:, :3], truth[:, 0].long(), label_smoothing=0.02)
    stands = truth[:, 0] < 2
    way = ((told[:, 3:] - truth[:, 1:]) ** 2).sum(1)[stands].mean()
    return kind + s.normal_weight * way


def _of(crops: list[SupportCrop], kind: int) -> list[SupportCrop]:
    return [crop for crop in crops if crop.kind == kind]


def train(crops: list[SupportCrop], settings: KindSettings) -> KindNet:
    """Train on crops, print what it does on those held out, and return the averaged network."""
    s = settings
    rng = np.random.default_rng(3)
    torch.manual_seed(3)
    shuffled = [crops[k] for k in rng.permutation(len(crops))]
    aside = [crop for kind in range(3) for crop in _of(shuffled, kind)[: s.held_out // 3]]
    used = [crop for kind in range(3) for crop in _of(shuffled, kind)[s.held_out // 3 :]]
    net, mean = KindNet(), KindNet()
    if s.begin:
        for each in (net, mean):
            each.load_state_dict(torch.load(s.begin, map_location="cpu", weights_only=True))
    optimizer = torch.optim.AdamW(net.parameters(), lr=s.rate, weight_decay=0.02)
    began = told = time.monotonic()
    for step, (pictures, truth) in enumerate(_batches(used, s, rng)):
        part = (time.monotonic() - began) / (60 * s.minutes)
        if part >= 1:
            break
        rate = s.rate * min(part / 0.05 + 0.02, 0.5 + 0.5 * float(np.cos(np.pi * part)))
        for group in optimizer.param_groups:
            group["lr"] = rate
        loss = _loss(net(pictures), truth, s)
        optimizer.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        optimizer.step()
        with torch.no_grad():
            keep = min(0.995, (1 + step) / (10 + step))
            ours = net.state_dict()
            for name, value in mean.state_dict().items():
                if value.is_floating_point():
                    value.lerp_(ours[name], 1 - keep)
        if time.monotonic() - told > s.told_every:
            told = time.monotonic()
            _report(mean, aside, step, float(loss.detach()))
    _report(mean, aside, step, float("nan"))
    mean.eval()
    return mean


@torch.no_grad()
def _report(net: KindNet, aside: list[SupportCrop], step: int, loss: float) -> None:
    """Print the share of held-out crops told rightly, upright ones only as photographs show them."""
    calm = KindSettings(turned=0.0, scaled=0.0, moved=0.02)
    rng = np.random.default_rng(5)
    shown = [_bent(crop, calm, rng) for crop in aside]
    net.eval()
    told = net(torch.from_numpy(even_out(np.stack([picture for picture, _ in shown]))[:, None]))
    net.train()
    truth = torch.stack([t for _, t in shown])
    kind = told[:, :3].argmax(1)
    table = torch.zeros(3, 3, dtype=torch.long)
    for true, said in zip(truth[:, 0].long(), kind, strict=True):
        table[true, said] += 1
    stands = truth[:, 0] < 2
    way = nn.functional.cosine_similarity(told[stands, 3:], truth[stands, 1:])
    near = float((way > np.cos(np.radians(20))).float().mean())
    print(  # noqa: T201
        f"step {step} loss {loss:.3f} true by said {table.tolist()} normals within 20 degrees {near:.3f}",
        flush=True,
    )


def export(net: KindNet, target: Path) -> None:
    """Write the network as ONNX."""
    part = target.with_suffix(".part.onnx")
    torch.onnx.export(
        net, (torch.zeros(1, 1, CROP_SIDE, CROP_SIDE),), str(part), input_names=["crops"],
        output_names=["told"], dynamic_axes={"crops": {0: "count"}, "told": {0: "count"}},
        opset_version=17, do_constant_folding=True, dynamo=False,
    )  # fmt: skip
    model = onnx.load(str(part))
    onnx.checker.check_model(model)
    target.parent.mkdir(parents=True, exist_ok=True)
    onnx.save(model, str(target))
    part.unlink()


def main() -> None:
    """Read the command line, make crops, train and export."""
    parser = argparse.ArgumentParser(prog="python -m vision.training.support_kinds", description=__doc__)
    parser.add_argument("target", type=Path)
    parser.add_argument("--pages", type=int, default=KindSettings.pages)
    parser.add_argument("--minutes", type=float, default=KindSettings.minutes)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--begin", default="", help="weights of an earlier run, beside its network as .pt")
    given = parser.parse_args()
    settings = KindSettings(pages=given.pages, minutes=given.minutes, begin=given.begin)
    net = train(gather(given.pages, given.workers), settings)
    torch.save(net.state_dict(), given.target.with_suffix(".pt"))
    export(net, given.target)


if __name__ == "__main__":
    main()
