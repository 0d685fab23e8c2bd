"""Which member gives way first, and at what load: stock, capacities and chances.

Averages of clear wood and of sound metal; single sticks scatter widely. For teaching and models only.
"""

from solver.strength.capacity import (
    CURVES,
    Capacity,
    Piece,
    Term,
    column_curve,
    compression_capacity,
    compression_checks,
    crossover_slenderness,
    euler,
    joint_capacity,
    lap_capacity,
    tension_capacity,
)
from solver.strength.chances import Chances, chances_of
from solver.strength.cutting import Bar, CuttingList, cutting_list
from solver.strength.demand import Demand, demand_of
from solver.strength.failing import Check, JointStrength, Standing, standing_of
from solver.strength.learning import StrengthUpdate, update_strength, update_together
from solver.strength.materials import MATERIALS, Figure, Material, balsa, find_material
from solver.strength.samples import modulus_of_samples, shear_of_samples, strength_of_samples
from solver.strength.settings import SETTINGS, StrengthSettings
from solver.strength.shape import ShapeGradient, gradient_of, shape_gradient
from solver.strength.sizing import Choice, Option, Upgrade, least_stock, spread_of, stressed_areas, upgrades
from solver.strength.stock import (
    Section,
    any_section,
    laminated,
    loose,
    rectangle,
    round_bar,
    spaced_pair,
    square,
    tube,
)

__all__ = [
    "CURVES",
    "MATERIALS",
    "SETTINGS",
    "Bar",
    "Capacity",
    "Chances",
    "Check",
    "Choice",
    "CuttingList",
    "Demand",
    "Figure",
    "JointStrength",
    "Material",
    "Option",
    "Piece",
    "Section",
    "ShapeGradient",
    "Standing",
    "StrengthSettings",
    "StrengthUpdate",
    "Term",
    "Upgrade",
    "any_section",
    "balsa",
    "chances_of",
    "column_curve",
    "compression_capacity",
    "compression_checks",
    "crossover_slenderness",
    "cutting_list",
    "demand_of",
    "euler",
    "find_material",
    "gradient_of",
    "joint_capacity",
    "laminated",
    "lap_capacity",
    "least_stock",
    "loose",
    "modulus_of_samples",
    "rectangle",
    "round_bar",
    "shape_gradient",
    "shear_of_samples",
    "spaced_pair",
    "spread_of",
    "square",
    "standing_of",
    "strength_of_samples",
    "stressed_areas",
    "tension_capacity",
    "tube",
    "update_strength",
    "update_together",
    "upgrades",
]
