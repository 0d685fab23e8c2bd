"""The scenes of the samples: a school's contest for a footbridge over a creek. All of it is invented."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from vision.training.scene import Measure, Scene
from vision.training.shape import Pull, Rest, Shape

__all__ = ["DEMO", "SAMPLES", "Sample", "Stock"]


@dataclass(frozen=True)
class Stock:
    """What the members of a built model are cut from; lengths in the sample's unit."""

    name: str
    material: str
    sizes: Mapping[str, float]
    """By the keys of the model file: `width` and `thickness`, or `diameter` and `wall`."""
    own: Mapping[str, object] = field(default_factory=dict)
    """Density and broken samples of the invented class, where no figures are published; by the same keys."""


@dataclass(frozen=True)
class Sample:
    """One sample: the truss as it is, and how its picture is made.

    Joints are named A, B, C, ... in reading order: bottom row from left to right, then upwards.
    """

    name: str
    """File name without its ending."""
    title: str
    family: str
    seed: int
    at: tuple[tuple[float, float], ...]
    """Joints in the plane, in `length_unit`, x right, y up."""
    members: tuple[str, ...]
    """Pairs of names, as "AB"."""
    pin: str
    roller: str
    normal: tuple[float, float] = (0.0, 1.0)
    """Of the roller."""
    loads: tuple[tuple[str, float, float], ...] = ()
    """Joint and force in `force_unit`, x right, y up."""
    dimensions: tuple[tuple[str, str, float], ...] = ()
    """Kind, pair of names, value: all that is written, and all that the model file holds."""
    length_unit: str = "m"
    force_unit: str = "kN"
    drawn_taller: float = 1.0
    """How much too high it is drawn: a sketch is not to scale."""
    notes: tuple[str, ...] = ()
    stock: Stock | None = None
    ending: str = "jpg"
    size: int = 2000
    ground: str = "plain"
    tool: str = "pen"
    colour: tuple[int, int, int] = (24, 28, 40)
    mark: str = "none"
    ruler: bool = True

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the joints."""
        return tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ"[: len(self.at)])

    def row(self, name: str) -> int:
        """Return the row of a joint."""
        return self.names.index(name)

    def pairs(self) -> Iterator[tuple[int, int]]:
        """Rows of the members' joints, as they are listed."""
        for pair in self.members:
            yield self.row(pair[0]), self.row(pair[1])

    def scene(self) -> Scene:
        """Return the scene to draw; its longest extent is 1."""
        joints = np.array(self.at) * [1, self.drawn_taller]
        joints = (joints - joints.min(axis=0)) / np.ptp(joints, axis=0).max()
        shape = Shape(
            self.name,
            joints,
            tuple(sorted((min(p), max(p)) for p in self.pairs())),
            (
                Rest(self.row(self.pin), "pin", self.normal),
                Rest(self.row(self.roller), "roller", self.normal),
            ),
            tuple(Pull(self.row(name), (fx, fy)) for name, fx, fy in self.loads),
        )
        return Scene(
            shape,
            names=self.names,
            load_texts=tuple(f"{np.hypot(fx, fy):g} {self.force_unit}" for _, fx, fy in self.loads),
            measures=tuple(
                Measure(
                    kind,
                    self.row(pair[0]),
                    self.row(pair[1]),
                    f"{value:g}°" if kind == "angle" else f"{value:g} {self.length_unit}",
                )
                for kind, pair, value in self.dimensions
            ),
            title=self.title,
            notes=self.notes,
        )


_WARREN = ("AB", "BC", "CD", "EF", "FG", "AE", "BE", "BF", "CF", "CG", "DG")
_PRATT = ("AB", "BC", "CD", "DE", "FG", "GH", "AF", "EH", "BF", "CG", "DH", "CF", "CH")

SAMPLES: tuple[Sample, ...] = (
    Sample(
        name="creek-warren-pen",
        title="Creek footbridge, side A",
        family="pen",
        colour=(24, 44, 120),
        seed=42,
        at=((0, 0), (2, 0), (4, 0), (6, 0), (1, 1.5), (3, 1.5), (5, 1.5)),
        members=_WARREN,
        pin="A",
        roller="D",
        loads=(("B", 0, -3), ("C", 0, -5)),
        dimensions=(("across", "AB", 2), ("across", "BC", 2), ("across", "CD", 2), ("up", "DG", 1.5)),
    ),
    Sample(
        name="shelter-roof-pencil",
        title="Shelter at the landing",
        family="pencil",
        tool="pencil",
        colour=(70, 70, 74),
        ruler=False,
        seed=43,
        at=((0, 0), (3, 0), (6, 0), (1.5, 1), (4.5, 1), (3, 2)),
        members=("AB", "BC", "AD", "DF", "EF", "CE", "BF", "BD", "BE"),
        pin="A",
        roller="C",
        loads=(("D", 0, -2), ("E", 0, -2), ("F", 0, -4)),
        dimensions=(("across", "AB", 3), ("across", "BC", 3), ("up", "CF", 2)),
        drawn_taller=1.2,
    ),
    Sample(
        name="jetty-cantilever-squared",
        title="Jetty, idea 2",
        family="squared",
        ground="squared",
        colour=(20, 24, 40),
        seed=40,
        at=((0, 0), (2, 0), (0, 1.5), (2, 1.5), (4, 1.5)),
        members=("AB", "AC", "CD", "DE", "BD", "AD", "BE"),
        pin="C",
        roller="A",
        normal=(1, 0),
        loads=(("D", 0, -2), ("E", 0, -6)),
        dimensions=(("across", "AB", 2), ("across", "CE", 4), ("up", "BE", 1.5)),
    ),
    Sample(
        name="creek-pratt-ruled",
        title="Creek footbridge, side B",
        family="ruled",
        ground="ruled",
        colour=(30, 50, 150),
        ruler=False,
        seed=40,
        at=((0, 0), (2.5, 0), (5, 0), (7.5, 0), (10, 0), (2.5, 2), (5, 2), (7.5, 2)),
        members=_PRATT,
        pin="A",
        roller="E",
        loads=(("B", 0, -4), ("C", 0, -8), ("D", 0, -4)),
        dimensions=(
            ("across", "AB", 2.5),
            ("across", "BC", 2.5),
            ("across", "CD", 2.5),
            ("across", "DE", 2.5),
            ("up", "EH", 2),
        ),
        notes=("ΣFy = 0", "A + E = 16 kN"),
    ),
    Sample(
        name="lesson-trapezoid-whiteboard",
        title="Lesson 7: who pulls, who pushes?",
        family="whiteboard",
        ground="whiteboard",
        tool="marker",
        colour=(24, 40, 130),
        ruler=False,
        seed=41,
        at=((0, 0), (3, 0), (6, 0), (1.5, 2), (4.5, 2)),
        members=("AB", "BC", "DE", "AD", "BD", "BE", "CE"),
        pin="A",
        roller="C",
        loads=(("B", 0, -10), ("D", 2, 0)),
        dimensions=(("across", "AB", 3), ("across", "BC", 3), ("up", "CE", 2)),
    ),
    Sample(
        name="hall-fink-blackboard",
        title="Hall roof",
        family="blackboard",
        ground="blackboard",
        tool="chalk",
        colour=(238, 238, 230),
        ruler=False,
        seed=40,
        at=((0, 0), (4, 0), (8, 0), (12, 0), (3, 2), (9, 2), (6, 4)),
        members=("AB", "BC", "CD", "AE", "EG", "FG", "DF", "BE", "BG", "CG", "CF"),
        pin="A",
        roller="D",
        loads=(("E", 0, -3), ("G", 0, -3), ("F", 0, -3)),
        dimensions=(("across", "AB", 4), ("across", "BC", 4), ("across", "CD", 4), ("up", "DG", 4)),
    ),
    Sample(
        name="handout-overhang-printed",
        title="Handout 3",
        family="printed",
        ground="tablet",
        tool="print",
        colour=(10, 10, 10),
        mark="circle",
        seed=41,
        at=((0, 0), (4, 0), (8, 0), (12, 0), (2, 3), (6, 3), (10, 3)),
        members=_WARREN,
        pin="A",
        roller="C",
        loads=(("F", 0, -9), ("D", 0, -6)),
        dimensions=(("across", "AB", 4), ("across", "BC", 4), ("across", "CD", 4), ("up", "DG", 3)),
        ending="png",
    ),
    Sample(
        name="signal-arm-circled",
        title="Flag arm",
        family="circled",
        tool="marker",
        colour=(20, 22, 30),
        mark="circle",
        ruler=False,
        seed=43,
        at=((0, 0), (2, 0), (0, 2), (2, 2), (4.5, 3)),
        members=("AB", "AC", "BD", "CD", "AD", "CE", "DE"),
        pin="A",
        roller="B",
        loads=(("E", 0, -1.5),),
        dimensions=(("across", "AB", 2), ("up", "AC", 2), ("across", "AE", 4.5), ("up", "AE", 3)),
    ),
    Sample(
        name="crossed-gate-tablet",
        title="Sluice gate frame",
        family="tablet",
        ground="tablet",
        tool="digital",
        colour=(20, 60, 160),
        ruler=False,
        seed=41,
        at=((0, 0), (4, 0), (8, 0), (0, 3), (4, 3), (8, 3)),
        members=("AB", "BC", "AD", "BD", "AE", "BE", "CE", "BF", "CF"),
        pin="A",
        roller="C",
        loads=(("E", 0, -8), ("F", -3, 0)),
        dimensions=(("across", "AB", 4), ("across", "BC", 4), ("up", "CF", 3)),
        ending="png",
    ),
    Sample(
        name="contest-sticks-model",
        title="Contest model, team Heron",
        family="sticks",
        seed=105,
        at=((0, 0), (100, 0), (200, 0), (300, 0), (50, 86.6), (150, 86.6), (250, 86.6)),
        members=_WARREN,
        pin="A",
        roller="D",
        loads=(("B", 0, -20), ("C", 0, -20)),
        dimensions=(("along", "AD", 300),),
        length_unit="mm",
        force_unit="N",
        stock=Stock("stick", "birch", {"width": 10, "thickness": 2}),
    ),
    Sample(
        name="contest-straws-model",
        title="Contest model, team Otter",
        family="rods",
        seed=33,
        at=((0, 0), (20, 0), (40, 0), (10, 18), (30, 18)),
        members=("AB", "BC", "DE", "AD", "BD", "BE", "CE"),
        pin="A",
        roller="C",
        loads=(("B", 0, -5),),
        dimensions=(("along", "AC", 40),),
        length_unit="cm",
        force_unit="N",
        stock=Stock(
            "straw",
            "paper straw",
            {"diameter": 0.8, "wall": 0.05},
            {
                "density": 700,
                "tests": {
                    "tension": [270, 300, 315],
                    "compression": [130, 142, 150],
                    "buckling": [36, 41, 45],
                    "buckling_length": 20,
                },
            },
        ),
    ),
)

DEMO = Sample(
    name="footbridge",
    title="Creek footbridge, final",
    family="pen",
    ground="plain",
    colour=(22, 40, 110),
    ruler=False,
    mark="dot",
    seed=3,
    at=((0, 0), (2, 0), (4, 0), (6, 0), (8, 0), (2, 1.5), (4, 1.5), (6, 1.5)),
    members=_PRATT,
    pin="A",
    roller="E",
    loads=(("B", 0, -3), ("C", 0, -4.5), ("D", 0, -3)),
    dimensions=(
        ("across", "AB", 2),
        ("across", "BC", 2),
        ("across", "CD", 2),
        ("across", "DE", 2),
        ("up", "EH", 1.5),
    ),
)
"""The picture that `panelpoint demo` reads."""
