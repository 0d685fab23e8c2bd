"""Train the network: `python -m vision.training.train --minutes 20 --folder runs/a`.

One process for each GPU (`--gpus`), each with its own workers and its own pool; gradients are averaged. The
schedule is bound by wall time, so that a run ends when it should on any machine. With `--resume` a run goes
on from its last checkpoint in the same folder.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, distributed, nn

from vision.channels import CHANNELS
from vision.training.augment import View, choose_views, spoil, take
from vision.training.net import MapNet
from vision.training.photos import photographs
from vision.training.sources import make_mixed
from vision.training.supply import Pool, Supply
from vision.training.targets import map_loss, paint

__all__ = ["TrainSettings", "main", "train"]


@dataclass(frozen=True)
class TrainSettings:
    """How a run goes."""

    minutes: float = 20.0
    """Wall time of training, minutes, renewed runs counted in."""
    folder: str = "run"
    """Where checkpoints, the averaged weights and the log go."""
    gpus: int = 1
    """Training processes, one for each GPU (or CPU processes, to try things out)."""
    workers: int = 14
    """Rendering processes for each training process."""
    pixels: int = 40 * 768 * 768
    """Pixels a batch and process: batch size times window size squared."""
    windows: tuple[int, ...] = (512, 640, 768, 768, 1024)
    """Window sizes, one drawn for each step."""
    pool: int = 6000
    """Pictures kept on the device for each training process."""
    start: int = 300
    """Pictures in the pool before the first step."""
    rate: float = 2.5e-3
    """Peak learning rate of AdamW."""
    decay: float = 0.02
    """Weight decay of AdamW."""
    average: float = 0.9993
    """How slowly the averaged weights follow, per step."""
    seed: int = 1_000_000_000
    """First training seed; seeds below 1,000,000 are for the held-out splits."""
    held_out: int = 64
    """Pictures of seeds 0, 1, ... on which the loss is watched."""
    save_every: float = 60.0
    """Seconds between checkpoints."""
    resume: bool = False
    """Go on from the checkpoint in `folder`."""
    begin: str = ""
    """Weights of an earlier run to begin with (`weights.pt` of its folder)."""


def _rate(settings: TrainSettings, part: float) -> float:
    """Warm up over the first 3% of the time, then fall as a cosine to 1%."""
    if part < 0.03:
        return settings.rate * (0.02 + 0.98 * part / 0.03)
    return settings.rate * (0.01 + 0.99 * 0.5 * (1 + math.cos(math.pi * min(1.0, (part - 0.03) / 0.97))))


def _batch(
    pool: Pool, rows: np.ndarray, window: int, device: torch.device, view: View
) -> tuple[Tensor, Tensor]:
    index = torch.from_numpy(rows)
    x = take(pool.pictures, index.to(device), pool.shape[index].to(device), view, window)
    return x, paint(pool.labels(rows, view, window))


def _views(pool: Pool, rows: np.ndarray, window: int, device: torch.device) -> View:
    index = torch.from_numpy(rows)
    return choose_views(
        pool.frame[index].to(device), pool.shortest[index].to(device), pool.upright[index].to(device), window
    )


def _whole(pool: Pool, rows: np.ndarray, window: int, device: torch.device) -> View:
    """See each picture whole and straight, its longer side filling the window."""
    zoom = window / pool.shape[torch.from_numpy(rows)].max(1).values.float()
    matrix = torch.diag_embed(torch.stack([zoom, zoom, torch.ones_like(zoom)], 1))
    return View(matrix.to(device), zoom.to(device))


@torch.no_grad()
def _watch(net: nn.Module, aside: Pool, device: torch.device, window: int) -> float:
    """Loss of the averaged weights on the pictures held out."""
    net.eval()
    total, rows = 0.0, np.arange(len(aside))
    for i in range(0, len(rows), 8):
        some = rows[i : i + 8]
        x, target = _batch(aside, some, window, device, _whole(aside, some, window, device))
        with torch.autocast(device.type, dtype=torch.bfloat16):
            out = net(x.contiguous(memory_format=torch.channels_last))
        total += float(map_loss(out, target).sum())
    return total / max(len(rows), 1)


class _Run:
    """One training process."""

    def __init__(self, settings: TrainSettings, rank: int, device: torch.device) -> None:
        self.settings, self.rank, self.device = settings, rank, device
        torch.manual_seed(settings.seed % 2**31 + rank)
        self.rng = np.random.default_rng(settings.seed + rank)
        self.net = MapNet(CHANNELS).to(device, memory_format=torch.channels_last)
        self.mean = MapNet(CHANNELS).to(device, memory_format=torch.channels_last)
        self.mean.load_state_dict(self.net.state_dict())
        parts = (
            [p for p in self.net.parameters() if p.ndim > 1],
            [p for p in self.net.parameters() if p.ndim < 2],
        )
        self.optimizer = torch.optim.AdamW(
            [{"params": parts[0], "weight_decay": settings.decay}, {"params": parts[1], "weight_decay": 0.0}],
            lr=settings.rate, betas=(0.9, 0.99), fused=device.type == "cuda",
        )  # fmt: skip
        if settings.begin:
            earlier = torch.load(settings.begin, map_location=device, weights_only=True)
            self.net.load_state_dict(earlier)
            self.mean.load_state_dict(earlier)
        self.step, self.before, self.began = 0, 0.0, time.monotonic()
        self.log: list[dict[str, float]] = []
        self.path = Path(settings.folder) / "checkpoint.pt"
        if settings.resume and self.path.exists():
            self._load()
        self._share()

    def _load(self) -> None:
        kept = torch.load(self.path, map_location=self.device, weights_only=True)
        self.net.load_state_dict(kept["net"])
        self.mean.load_state_dict(kept["mean"])
        self.optimizer.load_state_dict(kept["optimizer"])
        self.step, self.before, self.log = kept["step"], kept["elapsed"], kept["log"]

    def _share(self) -> None:
        if self.settings.gpus > 1:
            for tensor in [*self.net.state_dict().values(), *self.mean.state_dict().values()]:
                distributed.broadcast(tensor, 0)

    def elapsed(self) -> float:
        """Seconds of training so far, earlier runs counted in."""
        return self.before + time.monotonic() - self.began

    def save(self) -> None:
        """Write the checkpoint whole or not at all."""
        kept = {"net": self.net.state_dict(), "mean": self.mean.state_dict(),
                "optimizer": self.optimizer.state_dict(),
                "step": self.step, "elapsed": self.elapsed(), "log": self.log}  # fmt: skip
        part = self.path.with_suffix(".part")
        torch.save(kept, part)
        part.replace(self.path)
        halves = {k: v.half() if v.is_floating_point() else v for k, v in self.mean.state_dict().items()}
        torch.save(halves, self.path.with_name("weights.pt"))
        self.path.with_name("log.json").write_text(
            json.dumps({"settings": asdict(self.settings), "log": self.log}, indent=1) + "\n",
            encoding="utf-8",
        )

    def tell(self, loss: float, pool: Pool, pace: float) -> None:
        """Print and log how the run stands."""
        seen = pool.seen * self.settings.gpus
        print(  # noqa: T201
            f"{self.elapsed():7.1f} s  step {self.step}  loss {loss:.4f}  pool {len(pool)}  seen {seen}"
            f"  {pace:.2f} steps/s",
            flush=True,
        )
        self.log.append(
            {"seconds": round(self.elapsed(), 1), "step": self.step, "loss": loss, "pictures": seen}
        )

    def learn(self, pool: Pool, window: int, meanwhile: Callable[[], object]) -> tuple[float, float]:
        """Take one step; return the loss and the part of the time gone, both averaged over the processes.

        `meanwhile` is called while the device computes, and may change the pool.
        """
        s = self.settings
        rows = pool.choose(self.rng, max(2, s.pixels // window**2))
        with torch.no_grad():
            view = _views(pool, rows, window, self.device)
            x, target = _batch(pool, rows, window, self.device, view)
            x = spoil(x).contiguous(memory_format=torch.channels_last)
        self.net.train()
        with torch.autocast(self.device.type, dtype=torch.bfloat16):
            out = self.net(x)
        each = map_loss(out, target)
        loss = each.mean()
        self.optimizer.zero_grad(set_to_none=True)
        loss.backward()
        grads = [p.grad for p in self.net.parameters() if p.grad is not None]
        # Loss and time travel with the gradients, so that every process takes the same step at the same rate.
        told = torch.stack(
            [loss.detach(), torch.tensor(self.elapsed() / (60 * s.minutes), device=self.device)]
        )
        flat = torch.cat([*(g.reshape(-1) for g in grads), told])
        if s.gpus > 1:
            distributed.all_reduce(flat)
            flat /= s.gpus
        meanwhile()
        # A few of the rows may be newer pictures by now; their first real loss soon takes this one's place.
        pool.trouble[rows] = each.detach().float().cpu().numpy()
        loss_now, part = (float(v) for v in flat[-2:])
        norm = float(flat[:-2].norm())
        scale = min(1.0, 4.0 / (norm + 1e-9)) if math.isfinite(norm) else 0.0
        at = 0
        for g in grads:
            g.copy_(
                (flat[at : at + g.numel()] * scale if scale else torch.zeros_like(g).reshape(-1)).view_as(g)
            )
            at += g.numel()
        for group in self.optimizer.param_groups:
            group["lr"] = _rate(s, part)
        self.optimizer.step()
        self._follow()
        self.step += 1
        return loss_now, part

    @torch.no_grad()
    def _follow(self) -> None:
        """Let the averaged weights follow, faster while the run is young."""
        keep = min(self.settings.average, (1 + self.step) / (20 + self.step))
        ours, theirs = self.mean.state_dict(), self.net.state_dict()
        floats = [k for k, v in ours.items() if v.is_floating_point()]
        torch._foreach_lerp_([ours[k] for k in floats], [theirs[k] for k in floats], 1 - keep)


def train(settings: TrainSettings, rank: int = 0) -> None:
    """Train as one of `settings.gpus` processes; rank 0 writes the folder."""
    Path(settings.folder).mkdir(parents=True, exist_ok=True)
    for kind in ("scenes", "surfaces"):
        photographs(kind)  # decoded before the workers are forked, which then share them
    supply = Supply(
        make_mixed, workers=settings.workers,
        first_seed=settings.seed + rank * 1_000_000_000 + os.getpid() * 1000,
        held_out=settings.held_out if rank == 0 else 0,
    )  # fmt: skip
    try:
        _train(settings, rank, supply)
    finally:
        supply.close()


def _train(settings: TrainSettings, rank: int, supply: Supply) -> None:
    cuda = torch.cuda.is_available()
    device = torch.device("cuda", rank) if cuda else torch.device("cpu")
    if cuda:
        torch.cuda.set_device(device)
        torch.backends.cudnn.benchmark = True
        torch.backends.cuda.matmul.allow_tf32 = True
    if settings.gpus > 1:
        distributed.init_process_group("nccl" if cuda else "gloo", rank=rank, world_size=settings.gpus)
    arena = torch.frombuffer(supply.memory, dtype=torch.uint8)
    pool = Pool(settings.pool, device)
    aside = Pool(max(1, settings.held_out), device)
    run = _Run(settings, rank, device)
    while len(pool) < settings.start:
        pool.drain(supply, arena, aside, most=32, wait=1.0)
    run.began = time.monotonic()
    order = np.random.default_rng(settings.seed)
    saved, told, losses, since = time.monotonic(), time.monotonic(), [], run.step
    part = 0.0
    while part < 1:
        window = int(order.choice(settings.windows))
        loss, part = run.learn(pool, window, lambda: pool.drain(supply, arena, aside, most=24, wait=0))
        losses.append(loss)
        if rank == 0 and (time.monotonic() - told > 10 or part >= 1):
            run.tell(float(np.mean(losses)), pool, (run.step - since) / (time.monotonic() - told))
            losses, since, told = [], run.step, time.monotonic()
        if rank == 0 and (time.monotonic() - saved > settings.save_every or part >= 1):
            held = _watch(run.mean, aside, device, 768 if cuda else 384)
            run.log[-1:] = [{**run.log[-1], "held_out_loss": held}] if run.log else []
            print(f"          held-out loss {held:.4f} on {len(aside)}", flush=True)  # noqa: T201
            run.save()
            saved = time.monotonic()
    if settings.gpus > 1:
        distributed.destroy_process_group()


def _spawned(rank: int, settings: TrainSettings) -> None:
    train(settings, rank)


def main() -> None:
    """Read the command line and train."""
    parser = argparse.ArgumentParser(prog="python -m vision.training.train", description=__doc__)
    for name, value in asdict(TrainSettings()).items():
        flag = "--" + name.replace("_", "-")
        if isinstance(value, bool):
            parser.add_argument(flag, action="store_true")
        elif isinstance(value, tuple):
            parser.add_argument(flag, type=int, nargs="+", default=value)
        else:
            parser.add_argument(flag, type=type(value), default=value)
    given = vars(parser.parse_args())
    settings = TrainSettings(**{**given, "windows": tuple(given["windows"])})
    if settings.gpus == 1:
        train(settings)
        return
    os.environ.setdefault("MASTER_ADDR", "127.0.0.1")
    os.environ.setdefault("MASTER_PORT", "29511")
    children = []
    for rank in range(settings.gpus):
        child = torch.multiprocessing.get_context("spawn").Process(target=_spawned, args=(rank, settings))
        child.start()
        children.append(child)
    for child in children:
        child.join()


if __name__ == "__main__":
    main()
