"""Make the sample pictures and their model files: `python -m vision.training.samples`.

The pictures go to `sample_images/` and the demo's to `cli/demo/`, or below a folder given as an argument. The
same version of the libraries makes the same files.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import zlib
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.training.built import Build, make_built_page
from vision.training.drawn import make_drawn_page
from vision.training.film import Film
from vision.training.look import Look, Recipe, choose_look, choose_tool
from vision.training.page import Page
from vision.training.pens import Hand
from vision.training.sample_scenes import DEMO, SAMPLES, Sample
from vision.training.sticks import Material
from vision.training.writing import Lettering

__all__ = ["make_sample", "model_document", "write_samples"]

LARGEST_FILE = 600_000
"""Bytes of a sample picture; a JPEG is packed harder until it fits."""


def _film(sample: Sample) -> Film:
    """Return a fair photograph: a phone held by somebody who takes care."""
    if sample.ending == "png":
        return Film(uneven=0, noise=0, blur=0.25, jpeg=0)
    rough = {"blackboard": 0.12, "whiteboard": 0.15, "pencil": 0.3}.get(sample.family, 0.2)
    return Film(uneven=rough, exposure=0.97, warm=0.02, blur=0.5, noise=1.5, jpeg=0)


def make_sample(sample: Sample) -> Page:
    """Render one sample; its joints come in the order of the sample's names."""
    rng = np.random.default_rng([sample.seed, zlib.crc32(sample.name.encode())])
    scene = sample.scene()
    film = _film(sample)
    if sample.family in {"sticks", "rods"}:
        standing = sample.family == "rods"
        if standing:
            material = Material(
                "straw",
                0.02,
                ((225, 90, 50), (40, 120, 190)),
                joint="disc",
                joint_size=0.024,
                joint_colours=((245, 205, 60),),
                smooth=0.3,
            )
        else:
            material = Material(
                "craft",
                0.036,
                ((222, 190, 142),),
                0.016,
                joint="pin",
                joint_size=0.009,
                joint_colours=((176, 150, 70),),
            )
        build = Build(
            material, film, (sample.size, int(sample.size * 0.7)), fill=0.78, standing=standing, planes=2
        )
        return make_built_page(sample.seed, scene.shape, sample.family, build, rng=rng)
    look = _look(sample, np.random.default_rng([sample.seed, 1]))
    return make_drawn_page(sample.seed, scene, sample.family, look, rng=rng)


def _look(sample: Sample, rng: np.random.Generator) -> Look:
    """Return the look of a drawn sample: careful, in landscape, a little from the side."""
    look = choose_look(rng, sample.family, size=sample.size, joints=len(sample.at), fonts=False)
    ink = replace(choose_tool(rng, sample.tool), colour=sample.colour)
    printed = sample.tool == "print"
    flat = sample.ending == "png"
    board = sample.ground in {"whiteboard", "blackboard"}
    width = 0.0062 if board or sample.tool == "marker" else 0.0044
    careful = Hand(width, loose=0.001)
    free = Hand(width, bow=0.004, wobble=0.0008, gap=0.0, loose=0.003, patchy=0.1)
    named = sample.family == "circled"
    return replace(
        look,
        recipe=Recipe(
            sample.ground, (ink,) * 3, printed, sample.ruler, 0.2, flat, ghosts=0.5 if board else 0.0
        ),
        style=replace(
            look.style,
            hand=careful if sample.ruler else free,
            lettering=look.style.lettering if printed else Lettering(slant=0.08, jitter=0.02, weight=0.1),
            mark=sample.mark,
            mark_radius=0.034 if named else 0.011,
            bar=0.0,
            mixed=0.0,
            dashed=0.0,
            ticks=0.0,
            named_inside=named,
            careless=0.0 if printed else 0.3,
            letter_height=0.033,
            support=0.055,
            arrow=0.13,
            solid=printed,
        ),
        film=_film(sample),
        frame=(sample.size, int(sample.size * 0.75)),
        fill=0.84,
        turns=(-0.12, 0.05, 0.01),
        bend=(-0.008, 0.0),
    )


def model_document(sample: Sample, page: Page, picture: Path, digest: str) -> dict[str, object]:
    """Return the model file of a sample as it goes into JSON: true, and marked as confirmed."""
    names = sample.names
    height, width = page.rgb.shape[:2]
    document: dict[str, object] = {
        "format": "panelpoint truss",
        "version": 1,
        "title": sample.title,
        "confirmed": True,
        "units": {"length": sample.length_unit, "force": sample.force_unit},
        "picture": {"file": picture.name, "sha256": digest, "width": width, "height": height},
        "joints": [
            {"name": name, "px": [round(float(x), 1), round(float(y), 1)], "at": [float(u), float(v)]}
            for name, (x, y), (u, v) in zip(names, page.joints, sample.at, strict=True)
        ],
        "members": [
            {"joints": [pair[0], pair[1]]} | ({"stock": sample.stock.name} if sample.stock else {})
            for pair in sample.members
        ],
    }
    roller: dict[str, object] = {"joint": sample.roller, "kind": "roller", "normal": list(sample.normal)}
    document["supports"] = [{"joint": sample.pin, "kind": "pin"}, roller]
    document["loads"] = [{"joint": name, "force": [fx, fy]} for name, fx, fy in sample.loads]
    document["dimensions"] = [
        {"kind": kind, "from": pair[0], "to": pair[1], "value": value}
        for kind, pair, value in sample.dimensions
    ]
    if sample.stock:
        document["stocks"] = {
            sample.stock.name: {
                "material": sample.stock.material,
                **sample.stock.sizes,
                **sample.stock.own,
            }
        }
    return document


def _pack(rgb: NDArray[np.uint8], ending: str) -> bytes:
    bgr = np.ascontiguousarray(rgb[..., ::-1])
    if ending == "png":
        return bytes(cv2.imencode(".png", bgr, [cv2.IMWRITE_PNG_COMPRESSION, 9])[1])
    for quality in range(90, 40, -4):
        packed = bytes(cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, quality])[1])
        if len(packed) <= LARGEST_FILE:
            return packed
    return packed


def _dump(document: dict[str, object]) -> str:
    """JSON with short records on one line each, as the application writes it."""
    lines = ["{"]
    items = list(document.items())
    for k, (key, value) in enumerate(items):
        comma = "," if k < len(items) - 1 else ""
        if isinstance(value, list) and value:
            inner = ",\n".join("    " + json.dumps(entry, ensure_ascii=False) for entry in value)
            lines.append(f"  {json.dumps(key)}: [\n{inner}\n  ]{comma}")
        else:
            lines.append(f"  {json.dumps(key)}: {json.dumps(value, ensure_ascii=False)}{comma}")
    return "\n".join([*lines, "}", ""])


def write_samples(samples: Path, demo: Path) -> tuple[Path, ...]:
    """Make all sample pictures and the demo's, each with its model file; return what was written."""
    written: list[Path] = []
    for sample in (*SAMPLES, DEMO):
        folder = demo if sample is DEMO else samples
        folder.mkdir(parents=True, exist_ok=True)
        page = make_sample(sample)
        packed = _pack(page.rgb, sample.ending)
        picture = folder / f"{sample.name}.{sample.ending}"
        picture.write_bytes(packed)
        text = folder / f"{sample.name}.truss.json"
        digest = hashlib.sha256(packed).hexdigest()
        text.write_text(_dump(model_document(sample, page, picture, digest)), encoding="utf-8")
        written += [picture, text]
    return tuple(written)


def main() -> None:
    """Write the samples where they belong in the project, or below the folder given."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", nargs="?", type=Path, default=Path(__file__).parents[2])
    root: Path = parser.parse_args().folder
    write_samples(root / "sample_images", root / "cli" / "demo")


if __name__ == "__main__":
    main()
