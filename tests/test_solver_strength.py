"""Stock, materials and capacities against handbook figures and textbook formulas, sources beside."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp

from solver.errors import StockError
from solver.strength import (
    CURVES,
    MATERIALS,
    Figure,
    Piece,
    any_section,
    balsa,
    column_curve,
    compression_capacity,
    compression_checks,
    crossover_slenderness,
    euler,
    find_material,
    joint_capacity,
    laminated,
    lap_capacity,
    loose,
    modulus_of_samples,
    rectangle,
    round_bar,
    spaced_pair,
    square,
    strength_of_samples,
    tension_capacity,
    tube,
)

# Worked apart from this program from the USDA Wood Handbook's E and crushing strength (Table 5-3a; balsa
# 5-5a), for a square stick of 3.2 mm with pinned ends: crossover slenderness, crossover length (mm),
# crushing (N), Euler (N) at 50, 100 and 200 mm.
COLUMNS = {
    "balsa": (47.5, 43.8, 152.6, 117.3, 29.32, 7.33),
    "basswood": (55.3, 51.1, 333.8, 348.4, 87.10, 21.78),
    "birch": (52.6, 48.6, 401.4, 379.5, 94.87, 23.72),
    "spruce": (52.5, 48.5, 396.3, 372.6, 93.14, 23.29),
    "pine": (50.3, 46.5, 338.9, 293.2, 73.31, 18.33),
}


@pytest.mark.parametrize("wood", COLUMNS)
def test_columns_of_five_woods(wood: str) -> None:
    """Crushing, Euler and where they cross, to the digits of the table."""
    slenderness, length, crushing, *buckling = COLUMNS[wood]
    piece = Piece(square(3.2), MATERIALS[wood])
    assert crossover_slenderness(piece.material) == pytest.approx(slenderness, abs=0.051)
    assert crossover_slenderness(piece.material) * piece.section.gyration == pytest.approx(length, abs=0.051)
    for free, expected in zip((50, 100, 200), buckling, strict=True):
        crush, bend = compression_checks(piece, free)
        assert crush.force == pytest.approx(crushing, abs=0.051)
        assert bend.force == pytest.approx(expected, rel=5e-4, abs=0.005)
        least = compression_capacity(piece, free)
        assert least.force == min(crush.force, bend.force)
        assert least.mode == ("crushing" if crushing < expected else "buckling")


def test_euler_is_the_eigenvalue_of_the_bent_bar() -> None:
    """E I w'' + P w = 0 with pinned ends, solved numerically by scipy with P unknown."""
    modulus, inertia, length = 11_000.0, 10 * 2**3 / 12, 100.0
    along = np.linspace(0, 1, 41)

    def slope(_: np.ndarray, state: np.ndarray, load: np.ndarray) -> np.ndarray:
        return np.vstack((state[1], -load[0] * state[0]))

    def ends(start: np.ndarray, end: np.ndarray, _: np.ndarray) -> np.ndarray:
        return np.array([start[0], end[0], start[1] - 1])

    guess = np.vstack((np.sin(np.pi * along), np.cos(np.pi * along)))
    found = solve_bvp(slope, ends, along, guess, p=[9.0], tol=1e-9)
    assert found.success
    assert euler(modulus, inertia, length) == pytest.approx(
        found.p[0] * modulus * inertia / length**2, rel=1e-6
    )


def test_published_column_curve_at_the_crossing_and_at_both_ends() -> None:
    """C_P = 0.69 where crushing equals Euler (NDS 3.7.1, from memory); stubby crushes, slender buckles."""
    crushing = np.array([100.0, 100.0, 100.0])
    buckling = np.array([100.0, 1e7, 1.0])
    carried = column_curve(crushing, buckling, "interaction")
    assert carried[0] / 100 == pytest.approx(0.69, abs=0.005)
    assert carried[1] == pytest.approx(100, rel=1e-4)
    assert carried[2] == pytest.approx(1.0, rel=5e-3)
    ratio = buckling / crushing
    half = (1 + ratio) / 1.6
    printed = crushing * (half - np.sqrt(half**2 - ratio / 0.8))
    assert carried == pytest.approx(printed, rel=1e-4)
    many = np.geomspace(1, 1e4, 200)
    assert (column_curve(np.full(200, 100.0), many, "interaction") < np.minimum(100.0, many)).all()


def test_the_curve_names_the_mode_and_shows_its_numbers() -> None:
    """A slender stick buckles by either curve; the interaction carries less and says from what."""
    piece = Piece(rectangle(10, 2), MATERIALS["birch"])
    plain, curved = (compression_capacity(piece, 100, curve=curve) for curve in CURVES)
    # pi² 11000 MPa (10 mm (2 mm)³ / 12) / (100 mm)² = 72.4 N; crushing 39.2 MPa x 20 mm² = 784 N: by hand.
    assert plain.force == pytest.approx(72.38, abs=0.01)
    assert [(term.symbol, term.unit) for term in plain.terms] == [
        ("E", "MPa"), ("I", "mm⁴"), ("K", ""), ("L", "mm")
    ]  # fmt: skip
    assert curved.mode == plain.mode == "buckling"
    assert curved.rule == "interaction"
    assert [term.value for term in curved.terms] == [pytest.approx(784), plain.force, 0.8]
    assert 0.9 * plain.force < curved.force < plain.force


def test_effective_length_and_bracing() -> None:
    """Half the length, four times the force; the longer way out of the plane governs where it is given."""
    free = Piece(rectangle(10, 2), MATERIALS["birch"])
    held = Piece(rectangle(10, 2), MATERIALS["birch"], effective_length=0.5)
    braced = Piece(rectangle(10, 2), MATERIALS["birch"], bracing=200)
    assert compression_capacity(held, 100).force == pytest.approx(4 * compression_capacity(free, 100).force)
    out = compression_capacity(braced, 100)
    assert out.mode == "buckling out of plane"
    assert out.force == pytest.approx(compression_capacity(free, 200).force)


def test_fixed_and_pinned_factor_is_the_root_of_tan_x_equal_x() -> None:
    """0.699 = pi / 4.4934 (root of tan x = x; any text on strength of materials)."""
    piece = Piece(square(3.2), MATERIALS["balsa"], effective_length=math.pi / 4.493409458)
    expected = 4.493409458**2 * 3400 * 3.2**4 / 12 / 100**2
    assert compression_capacity(piece, 100).force == pytest.approx(expected, rel=1e-9)


def test_tension_counts_the_net_area() -> None:
    """85 MPa x 20 mm² x 0.7 = 1190 N, by hand from the handbook's modulus of rupture of paper birch."""
    capacity = tension_capacity(Piece(rectangle(10, 2), MATERIALS["birch"], net=0.7))
    assert capacity.force == pytest.approx(1190)
    assert capacity.mode == "tension"


def test_sections_against_integration() -> None:
    """Area and weaker second moment of each shape, by integrating strips with scipy."""
    for shape, half_width, top in (
        (round_bar(6), lambda y: math.sqrt(9 - y * y), 3.0),
        (rectangle(3, 8), lambda _: 4.0, 1.5),
        (square(5), lambda _: 2.5, 2.5),
        (laminated(10, 2, 3), lambda _: 5.0, 3.0),
    ):
        area, _ = quad(lambda y, w=half_width: 2 * w(y), -top, top)
        inertia, _ = quad(lambda y, w=half_width: 2 * w(y) * y * y, -top, top)
        assert shape.area == pytest.approx(area, rel=1e-7)
        assert shape.inertia == pytest.approx(inertia, rel=1e-7)
    ring = tube(6, 0.5)
    assert ring.area == pytest.approx(round_bar(6).area - round_bar(5).area)
    assert ring.inertia == pytest.approx(round_bar(6).inertia - round_bar(5).inertia)


def test_glue_makes_one_stick_of_three() -> None:
    """Three glued strips are nine times as stiff as three loose ones (b (3t)³ against 3 b t³)."""
    glued, apart = laminated(10, 1, 3), loose(rectangle(10, 1), 3)
    assert glued.area == apart.area
    assert glued.inertia == pytest.approx(9 * apart.inertia)


def test_spaced_pair_by_parallel_axes() -> None:
    """A pair is a solid block less the gap: b (H³ - h³) / 12, unless it is weaker the other way."""
    pair = spaced_pair(10, 2, 1)
    assert pair.inertia == pytest.approx(10 * (5**3 - 1**3) / 12)
    wide = spaced_pair(10, 2, 20)
    assert wide.inertia == pytest.approx(2 * 2 * 10**3 / 12)


def test_every_figure_has_source_and_mark() -> None:
    """Nothing without its origin, and scatter only with a source too."""
    for material in MATERIALS.values():
        for name in ("density", "modulus", "tension", "compression", "bending", "shear"):
            figure = getattr(material, name)
            if figure is None:
                continue
            assert figure.source
            assert figure.mark in {"read", "from memory", "computed", "own test"}
            assert not figure.scatter or figure.scatter_source


def test_densities_of_the_handbook() -> None:
    """kg/m³ at 12 % moisture, from specific gravity (USDA Wood Handbook, chapter 4)."""
    for wood, density in {
        "basswood": 414,
        "birch": 616,
        "yellow birch": 694,
        "spruce": 448,
        "pine": 392,
    }.items():
        assert MATERIALS[wood].density.value == pytest.approx(density, abs=0.5)


def test_balsa_follows_its_density() -> None:
    """In proportion; beyond 60 to 380 kg/m³ it is no balsa (Borrega and Gibson 2015, abstract)."""
    light, usual = balsa(100), balsa()
    assert light.modulus.value / usual.modulus.value == pytest.approx(100 / 179.2)
    # Trade data sheet: three lots crush at 9.0 to 15.5 MPa with E of 2,930 to 3,790 MPa.
    assert 9.0 < usual.compression.value < 15.5
    assert 2930 < usual.modulus.value < 3790
    with pytest.raises(StockError, match="60 and 380"):
        balsa(600)
    assert find_material("Balsa", density=100) == light


def test_unknown_material_says_what_to_do() -> None:
    """Straws and the like have no source at hand: break three; a slip of the pen gets the list."""
    for name in ("drinking straw", "Spaghetti", "card tube", "paper"):
        with pytest.raises(StockError, match=r"no published figures.*break three pieces.*tests"):
            find_material(name)
    with pytest.raises(StockError, match=r"no material 'brich'.*birch"):
        find_material("brich")


def test_bamboo_is_marked_as_remembered() -> None:
    """The report's allowed stresses for 700 kg/m³, bending 0.020, compression 0.013, shear 0.003, times 7.

    Janssen, INBAR Technical Report 20, from memory, by hand: 98, 63.7 and 14.7 MPa.
    """
    bamboo = find_material("Bamboo skewer")
    assert bamboo.tension.value == pytest.approx(98)
    assert bamboo.compression.value == pytest.approx(63.7)
    assert bamboo.shear is not None
    assert bamboo.shear.value == pytest.approx(14.7)
    for name in ("density", "modulus", "tension", "compression", "shear"):
        assert getattr(bamboo, name).mark == "from memory"


def test_common_names_find_their_material() -> None:
    """Craft sticks are birch, rods are metal, in either spelling."""
    assert find_material("craft sticks").name == "birch"
    assert find_material("Aluminum rod").name == "aluminium"
    assert find_material("steel rod").name == "steel"


def test_three_samples_give_mean_and_spread() -> None:
    """Worked by hand: 90, 100, 110 N on 20 mm²: mean 5 MPa, s = 10 N, times sqrt(4/3): 11.5 %."""
    figure = strength_of_samples((90, 100, 110), rectangle(10, 2))
    assert figure.value == pytest.approx(5)
    assert figure.scatter == pytest.approx(0.1 * math.sqrt(4 / 3))
    assert figure.mark == "own test"
    with pytest.raises(StockError, match="break 3 or more"):
        strength_of_samples((90, 100), rectangle(10, 2))
    with pytest.raises(StockError, match="above zero"):
        strength_of_samples((90, 100, -3), rectangle(10, 2))


def test_modulus_of_samples_turns_euler_round() -> None:
    """Columns that buckle at Euler's load of E = 9,000 MPa give 9,000 MPa back."""
    section = square(4)
    loads = [euler(9_000 * share, section.inertia, 150) for share in (0.9, 1.0, 1.1)]
    assert modulus_of_samples(loads, section, length=150).value == pytest.approx(9_000)


def test_joints_hold_what_was_given_or_what_the_lap_holds() -> None:
    """A lap of 100 mm² in paper birch shears at 8.3 MPa (Table 5-3a): 830 N, by hand."""
    assert joint_capacity(250).force == 250
    shear = MATERIALS["birch"].shear
    assert shear is not None
    assert lap_capacity(shear, 100).force == pytest.approx(830)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: rectangle(-1, 2), "width of -1 mm is impossible"),
        (lambda: rectangle(10, math.nan), "thickness of nan"),
        (lambda: any_section(0, 1), "area of 0"),
        (lambda: any_section(1, 0), "second moment of area of 0"),
        (lambda: tube(5, 2.5), "less than half the diameter"),
        (lambda: laminated(10, 2, 0), "one stick or more"),
        (lambda: Figure(0, "x"), "property of 0 is impossible"),
        (lambda: Figure(1, "x", scatter=-0.1), "scatter of -0.1"),
        (lambda: Piece(square(1), MATERIALS["balsa"], net=1.2), "net area of 1.2"),
        (lambda: Piece(square(1), MATERIALS["balsa"], effective_length=0), "effective length factor of 0"),
        (lambda: Piece(square(1), MATERIALS["balsa"], bracing=-5), "bracing points of -5"),
        (lambda: compression_checks(Piece(square(1), MATERIALS["balsa"]), 0), "length 0 mm"),
        (lambda: joint_capacity(0), "holds 0 N"),
        (lambda: lap_capacity(Figure(8.3, "x"), -1), "lap of -1"),
        (lambda: modulus_of_samples((1, 2, 3), square(1), length=0), "0 mm long"),
        (lambda: column_curve(np.ones(1), np.ones(1), "straight"), "least, interaction"),
    ],
)
def test_what_cannot_be_is_explained(make: object, words: str) -> None:
    """Every impossible input is named with its value and a cure."""
    with pytest.raises(StockError, match=words):
        make()  # type: ignore[operator]
