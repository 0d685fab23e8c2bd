"""The strength of a truss as text and as JSON."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from cli.cautions import CAUTIONS
from cli.model.readable_json import readable_json
from cli.report import TEXT_WIDTH, aligned, wrapped
from cli.sheets.numerals import Numerals
from cli.strength.cutting import StockCuts, cuts_json, cuts_text
from cli.strength.shape import shape_json, shape_text
from cli.strength.sizing import Sizing, sizing_json, sizing_text
from cli.strength.words import AVERAGES, TESTING, formula, prediction, rough, update_sentence
from solver import convert_force
from solver.strength import SETTINGS, Chances, Figure, Material, ShapeGradient, Standing, StrengthUpdate

__all__ = ["StrengthAnswer", "strength_json", "strength_text"]

NUMERALS = Numerals(figures=3)
GRAVITY = 9.80665
"""m/s², standard (BIPM)."""
GRAMS_SHOWN = 1000.0
"""From here on kilograms are told."""
CURVE_WORDS = {
    "least": "the smaller of crushing and Euler buckling",
    "interaction": "the column curve of the NDS for sawn wood (3.7.1, from memory), c = 0.8, put on averages",
}
PROPERTIES = ("density", "modulus", "tension", "compression", "shear")
UNITS = {"density": "kg/m³", "modulus": "MPa", "tension": "MPa", "compression": "MPa", "shear": "MPa"}


@dataclass(frozen=True, eq=False)
class StrengthAnswer:
    """Everything that `panelpoint strength` tells."""

    title: str | None
    standing: Standing
    chances: Chances
    seed: int
    remarks: tuple[str, ...]
    tested: float | None = None
    """N, all loads added up, at which the truss let go."""
    tested_first: str | None = None
    """What let go, a name of `standing.checks`."""
    update: StrengthUpdate | None = None
    sizing: Sizing | None = None
    cuts: tuple[StockCuts, ...] = ()
    shape: ShapeGradient | None = None
    """None where the truss is indeterminate."""

    def force(self, newtons: float, number: Callable[[float], str] = NUMERALS.number) -> str:
        """Write a force in the unit of the model."""
        unit = self.standing.demand.truss.force_unit
        return f"{number(convert_force(newtons, 'N', unit))} {unit}"

    @property
    def given_load(self) -> str:
        """All given loads added up, as given."""
        return self.force(self.standing.demand.total_load, NUMERALS.given)

    @property
    def prediction(self) -> str:
        """The sentence to write down before the test."""
        return prediction(
            self.standing.governing,
            load=self.chances.median,
            interval=self.chances.interval,
            write=lambda newtons: self.force(newtons, rough),
        )

    @property
    def test_sentence(self) -> str | None:
        """What the test says, where there was one."""
        if self.tested is None:
            return None
        if self.update is None:
            return (
                f"Tested {self.force(self.tested)}, and nothing to compare it with: by this model it does "
                'not even carry its own weight. Mend "self_weight" or the stock in the model file first.'
            )
        said = update_sentence(
            self.update,
            tested=self.force(self.tested),
            predicted=self.force(self.chances.median),
            expected=self.force(self.chances.median * self.update.factor, rough),
        )
        if self.tested_first is None:
            return said
        names = [check.name for check in self.standing.governing]
        right = "as predicted" if self.tested_first in names else f"predicted was {' or '.join(names)}"
        return f"{said} {self.tested_first} let go first: {right}."

    @property
    def load_per_weight(self) -> float:
        """Failure load (median) over the weight of the members, a ratio."""
        return self.chances.median / (self.standing.mass / 1000 * GRAVITY)

    @property
    def materials(self) -> tuple[Material, ...]:
        """Each material used, once."""
        return tuple({piece.material.name: piece.material for piece in self.standing.pieces}.values())


def strength_text(answer: StrengthAnswer) -> str:
    """Return prediction, ranking, formulas, sources and cautions."""
    standing, chances = answer.standing, answer.chances
    lines = [*([answer.title, ""] if answer.title else []), answer.prediction]
    if chances.median > 0:
        lines += wrapped(
            f"That is all loads added up, grown together; {SETTINGS.share:.0%} of "
            f"{len(chances.factors):,} trusses drawn with scattering sticks and joints lie in the range "
            f"(seed {answer.seed}). With every stick exactly average it is "
            f"{answer.force(standing.failure_load)}."
        )
    lines += wrapped(
        f"Given load {answer.given_load}, load factor {NUMERALS.number(standing.load_factor)} at averages. "
        f"The members weigh {_mass(standing.mass)} and would hold "
        f"{NUMERALS.number(answer.load_per_weight)} times their own weight."
    )
    lines += wrapped(f"In compression a member carries {CURVE_WORDS[standing.curve]}.")
    if answer.test_sentence is not None:
        lines += ["", *wrapped(answer.test_sentence)]
    lines += ["", "Ranking: utilization at the given load; chance of being the first to let go"]
    lines += aligned(list(_rows(answer)), left=(0, 2))
    lines += ["", "Capacities (N, mm, MPa)"]
    lines += [
        f"  {check.name}  {check.capacity.mode}: {formula(check.capacity)}" for check in standing.ranking
    ]
    if answer.sizing is not None:
        lines += sizing_text(answer.sizing, answer.force)
    if answer.shape is not None:
        lines += shape_text(answer.shape, standing)
    lines += cuts_text(answer.cuts, standing.demand.truss.length_unit)
    lines += ["", "Materials (average, scatter from piece to piece, source)"]
    for material in answer.materials:
        lines += _source_lines(material)
    lines += ["", *wrapped(AVERAGES), *wrapped(TESTING)]
    for caution in CAUTIONS:
        lines += wrapped(caution)
    return "\n".join(lines) + "\n"


def _mass(grams: float) -> str:
    return f"{NUMERALS.number(grams)} g" if grams < GRAMS_SHOWN else f"{NUMERALS.number(grams / 1000)} kg"


def _rows(answer: StrengthAnswer) -> Iterator[tuple[str, ...]]:
    standing = answer.standing
    unit = standing.demand.truss.force_unit
    yield ("what", f"force {unit}", "gives way by", f"holds {unit}", "used", "load factor", "first")
    first = {id(check): share for check, share in zip(standing.checks, answer.chances.first, strict=True)}
    for check in standing.ranking:
        reached = math.isfinite(check.load_factor)
        yield (
            check.name,
            answer.force(check.force).split(" ")[0] if reached else "0",
            check.capacity.mode if reached else "not loaded",
            answer.force(check.capacity.force).split(" ")[0] if reached else "",
            f"{check.utilization:.0%}",
            NUMERALS.number(check.load_factor) if reached else "",
            f"{first[id(check)]:.0%}",
        )


def _source_lines(material: Material) -> Iterator[str]:
    yield f"  {material.name}"
    for name, figure in _figures(material):
        scatter = f", ±{figure.scatter:.0%}" if figure.scatter else ""
        text = (
            f"{name} {NUMERALS.given(figure.value)} {UNITS[name]}{scatter} ({figure.mark}): {figure.source}"
        )
        yield from textwrap.wrap(text, TEXT_WIDTH, initial_indent="    ", subsequent_indent="      ")


def strength_json(answer: StrengthAnswer) -> str:
    """Return the answer as one JSON object in the model's units; keys are stable, more may be added."""
    standing, chances = answer.standing, answer.chances
    unit = standing.demand.truss.force_unit

    def force(newtons: float) -> float:
        return convert_force(newtons, "N", unit)

    low, high = chances.interval
    document: dict[str, Any] = {
        "prediction": {
            "sentence": answer.prediction,
            "first": [check.name for check in standing.governing],
            "load": force(chances.median),
            "low": force(low),
            "high": force(high),
            "share": SETTINGS.share,
            "load_at_averages": force(standing.failure_load),
        },
        "given_load": force(standing.demand.total_load),
        "load_factor": standing.load_factor,
        "mass_g": standing.mass,
        "load_per_weight": answer.load_per_weight,
        "curve": standing.curve,
        "draws": len(chances.factors),
        "seed": answer.seed,
        "checks": [
            {
                "joints": list(check.joints),
                "force": force(check.force),
                "mode": check.capacity.mode,
                "capacity": force(check.capacity.force),
                "rule": check.capacity.rule,
                "terms": [[term.symbol, term.value, term.unit] for term in check.capacity.terms],
                "utilization": check.utilization,
                "load_factor": check.load_factor if math.isfinite(check.load_factor) else None,
                "first": float(share),
            }
            for check, share in zip(standing.checks, chances.first, strict=True)
        ],
        "materials": [_material(material) for material in answer.materials],
        "units": {"length": standing.demand.truss.length_unit, "force": unit},
        "warnings": list(answer.remarks),
        "cautions": [AVERAGES, TESTING, *CAUTIONS],
    }
    if answer.shape is not None:
        document["shape"] = shape_json(answer.shape, standing)
    if answer.cuts:
        document["cutting"] = cuts_json(answer.cuts)
    if answer.sizing is not None:
        document["sizing"] = sizing_json(answer.sizing)
    if answer.tested is not None:
        document["test"] = {
            "sentence": answer.test_sentence,
            "load": force(answer.tested),
            "first": answer.tested_first,
        }
        if answer.update is not None:
            document["test"] |= {
                "factor": answer.update.factor,
                "low": answer.update.low,
                "high": answer.update.high,
                "weight": answer.update.weight,
            }
    return readable_json(document)


def _figures(material: Material) -> list[tuple[str, Figure]]:
    """Return the properties that are known of a material."""
    found: list[tuple[str, Figure | None]] = [(name, getattr(material, name)) for name in PROPERTIES]
    return [(name, figure) for name, figure in found if figure is not None]


def _material(material: Material) -> dict[str, Any]:
    figures = dict(_figures(material))
    return {
        "name": material.name,
        **{
            name: {
                "value": figure.value,
                "unit": UNITS[name],
                "scatter": figure.scatter,
                "mark": figure.mark,
                "source": figure.source,
            }
            for name, figure in figures.items()
        },
    }
