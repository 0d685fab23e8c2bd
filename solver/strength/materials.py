"""Materials of model building: published averages, each figure with its source and how it was seen.

Stresses in megapascals (N/mm²), densities in kg/m³. The woods are clear, straight-grained and dry (12 %
moisture): a single stick scatters widely about these averages. A material that is not here has no source at
hand; three broken samples of it are better than any list (`solver.strength.samples`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from solver.errors import StockError

__all__ = ["MATERIALS", "Figure", "Material", "balsa", "find_material"]

READ, MEMORY, COMPUTED = "read", "from memory", "computed"


@dataclass(frozen=True)
class Figure:
    """One property with where it comes from."""

    value: float
    source: str
    mark: str = READ
    """`read` (in the source or a faithful copy of it), `from memory`, `computed`, `own test`."""
    scatter: float = 0.0
    """Coefficient of variation from piece to piece, a ratio."""
    scatter_source: str = ""

    def __post_init__(self) -> None:
        if not math.isfinite(self.value) or self.value <= 0:
            raise StockError(
                f"A material with a property of {self.value:g} is impossible: give a number above zero."
            )
        if not math.isfinite(self.scatter) or self.scatter < 0:
            raise StockError(
                f"A scatter of {self.scatter:g} is impossible: give the standard deviation over the mean, "
                "zero or more."
            )


@dataclass(frozen=True)
class Material:
    """What a stock is made of."""

    name: str
    density: Figure
    """kg/m³."""
    modulus: Figure
    """E in bending, MPa: what buckling asks for."""
    tension: Figure
    """Strength along the grain, MPa."""
    compression: Figure
    """Crushing strength along the grain, or yield of a metal, MPa."""
    bending: Figure | None = None
    """Modulus of rupture, MPa; members of an ideal truss do not bend, so that nothing here uses it."""
    shear: Figure | None = None
    """Along the grain, MPa."""


_TABLE = "USDA Wood Handbook FPL-GTR-190 (2010), Table 5-3a, 12 % moisture"
_TENSION = "USDA Wood Handbook, Table 5-7 (values of green wood, on the safe side for dry)"
_RUPTURE = "modulus of rupture of the same table, the usual low estimate of tension strength"
_SPREAD = "USDA Wood Handbook, Table 5-6, from memory"
_DENSITY = "1120 kg/m³ times specific gravity at 12 % moisture, USDA Wood Handbook, chapter 4"
_BALSA = "USDA Wood Handbook, Table 5-5a"
_BALSA_DENSITY = 1120 * 0.16
"""kg/m³ that the handbook's figures for balsa belong to, if its specific gravity is at 12 % moisture."""
_BALSA_RANGE = (60.0, 380.0)
"""kg/m³; Borrega and Gibson, Mechanics of Materials 84 (2015), abstract: read."""
_SCATTER = {"density": 0.10, "modulus": 0.22, "tension": 0.16, "compression": 0.18, "shear": 0.14}

# Specific gravity, E, modulus of rupture, compression, shear along the grain, tension where Table 5-7 has it.
_WOODS: dict[str, tuple[float, float, float, float, float, float | None]] = {
    "basswood": (0.37, 10_100, 60, 32.6, 6.8, None),
    "birch": (0.55, 11_000, 85, 39.2, 8.3, None),
    "yellow birch": (0.62, 13_900, 114, 56.3, 13.0, None),
    "sweet birch": (0.65, 15_000, 117, 58.9, 15.4, None),
    "spruce": (0.40, 10_800, 70, 38.7, 7.9, 59.3),
    "white spruce": (0.36, 9_600, 65, 35.7, 6.7, None),
    "red spruce": (0.40, 11_400, 74, 38.2, 8.9, None),
    "black spruce": (0.42, 11_100, 74, 41.1, 8.5, None),
    "Engelmann spruce": (0.35, 8_900, 64, 30.9, 8.3, None),
    "pine": (0.35, 8_500, 59, 33.1, 6.2, 73.1),
    "ponderosa pine": (0.40, 8_900, 65, 36.7, 7.8, None),
    "lodgepole pine": (0.41, 9_200, 65, 37.0, 6.1, None),
    "loblolly pine": (0.51, 12_300, 88, 49.2, 9.6, None),
    "yellow-poplar": (0.42, 10_900, 70, 38.2, 8.2, None),
}
"""Names without an adjective: birch is paper birch, which craft sticks commonly are (from memory), spruce is
Sitka spruce, pine is eastern white pine, basswood is American basswood."""


def _wood(name: str) -> Material:
    gravity, modulus, rupture, crushing, shear, tension = _WOODS[name]

    def figure(value: float, source: str, scatter: str, mark: str = READ) -> Figure:
        return Figure(value, source, mark, _SCATTER[scatter], _SPREAD)

    return Material(
        name=name,
        density=figure(1120 * gravity, _DENSITY, "density", COMPUTED),
        modulus=figure(modulus, _TABLE, "modulus"),
        tension=figure(rupture, f"{_TABLE}: {_RUPTURE}", "tension", MEMORY)
        if tension is None
        else figure(tension, _TENSION, "tension"),
        compression=figure(crushing, _TABLE, "compression"),
        bending=figure(rupture, _TABLE, "tension"),
        shear=figure(shear, _TABLE, "shear"),
    )


def balsa(density: float = _BALSA_DENSITY) -> Material:
    """Give balsa by its density, since that says most about it.

    Parameters
    ----------
    density : float
        kg/m³, 60 to 380: a piece's mass over its volume.

    Raises
    ------
    StockError
        When the density is not that of balsa.

    Notes
    -----
    Strength and modulus rise linearly with density (Borrega and Gibson 2015). They are taken here as
    proportional to it, through the handbook's figures at 179 kg/m³.
    """
    low, high = _BALSA_RANGE
    if not low <= density <= high:
        raise StockError(
            f"Balsa of {density:g} kg/m³ is unheard of: its density lies between {low:g} and {high:g} kg/m³. "
            "Weigh a piece and divide by its volume."
        )
    share = density / _BALSA_DENSITY
    source = _BALSA if share == 1 else f"{_BALSA}, in proportion to density (Borrega and Gibson 2015)"

    def figure(value: float, scatter: str, mark: str) -> Figure:
        return Figure(value * share, source, mark, _SCATTER[scatter], _SPREAD)

    mark = READ if share == 1 else COMPUTED
    return Material(
        name="balsa",
        density=Figure(
            density, _DENSITY if share == 1 else "as given", COMPUTED, _SCATTER["density"], _SPREAD
        ),
        modulus=figure(3_400, "modulus", mark),
        tension=replace(figure(21.6, "tension", MEMORY), source=f"{source}: {_RUPTURE}"),
        compression=figure(14.9, "compression", mark),
        bending=figure(21.6, "tension", mark),
        shear=figure(2.1, "shear", MEMORY),
    )


def _metal(name: str, density: float, modulus: float, strength: float, code: str) -> Material:
    spread = "common practice: yield 7 %, modulus 3 %, from memory"
    yields = Figure(strength, f"{code}, yield", MEMORY, 0.07, spread)
    return Material(
        name=name,
        density=Figure(density, code, MEMORY),
        modulus=Figure(modulus, code, MEMORY, 0.03, spread),
        tension=yields,
        compression=yields,
    )


def _bamboo() -> Material:
    """Give bamboo by the rules of thumb that go with its density, all from memory."""
    density = 700.0
    source = (
        "J. J. A. Janssen, Designing and Building with Bamboo (INBAR Technical Report 20, 2000): allowed "
        "stresses as shares of density, taken back to averages by their factor of 7"
    )
    spread = "as that of clear wood (Wood Handbook, Table 5-6, from memory); culms differ at least as much"

    def figure(value: float, scatter: str, said: str = source) -> Figure:
        return Figure(value, said, MEMORY, _SCATTER[scatter], spread)

    bending = figure(7 * 0.020 * density, "tension")
    return Material(
        name="bamboo",
        density=figure(density, "density", "dry culm wall, the same report"),
        modulus=figure(17_000.0, "modulus", "dry culm wall, the same report"),
        tension=replace(bending, source=f"{source}: bending, the low estimate of tension strength"),
        compression=figure(7 * 0.013 * density, "compression"),
        bending=bending,
        shear=figure(7 * 0.003 * density, "shear"),
    )


MATERIALS: dict[str, Material] = {
    **{name: _wood(name) for name in _WOODS},
    "balsa": balsa(),
    "bamboo": _bamboo(),
    "steel": _metal("steel", 7_850, 210_000, 235, "EN 10025-2 S235 and EN 1993-1-1"),
    "aluminium": _metal("aluminium", 2_700, 70_000, 250, "EN 1999-1-1, EN AW-6082 T6"),
}
"""Every material with figures at hand, by name."""

_ALSO = {
    "aluminum": "aluminium",
    "aluminium rod": "aluminium",
    "aluminum rod": "aluminium",
    "american basswood": "basswood",
    "bamboo skewer": "bamboo",
    "craft stick": "birch",
    "craft sticks": "birch",
    "eastern white pine": "pine",
    "paper birch": "birch",
    "sitka spruce": "spruce",
    "steel rod": "steel",
    "white birch": "birch",
}
"""Other names, casefolded. That craft sticks are mostly of paper birch is from memory."""

_NO_SOURCE = ("card", "paper", "pasta", "plastic", "spaghetti", "straw")
"""Asked for often, and with no source at hand that could be named."""


def find_material(name: str, *, density: float | None = None) -> Material:
    """Find a material by name; capitals do not matter.

    Parameters
    ----------
    density : float, optional
        kg/m³, as weighed. Balsa's strength goes with it; any other material only weighs so much.

    Raises
    ------
    StockError
        When there is none of that name, with those that there are.
    """
    wanted = " ".join(name.casefold().split())
    known = {key.casefold(): material for key, material in MATERIALS.items()}
    wanted = _ALSO.get(wanted, wanted)
    if wanted not in known:
        if any(word in wanted for word in _NO_SOURCE):
            raise StockError(
                f"There are no published figures at hand for {name!r}, and such things differ from maker to "
                "maker. Your own test is the way: break three pieces each way, and give their loads and the "
                'weighed density with the stock, as in "density": 700, "tests": {"tension": [40, 44, 48], '
                '"compression": [9, 10, 11], "buckling": [1.8, 2, 2.2], "buckling_length": 100}.'
            )
        raise StockError(
            f"There is no material {name!r}: use one of {', '.join(sorted(MATERIALS, key=str.casefold))}, or "
            "break three samples and give them as the stock's tests."
        )
    if density is None:
        return known[wanted]
    if wanted == "balsa":
        return balsa(density)
    return replace(known[wanted], density=Figure(density, "as given", "own test"))
