"""From the stocks of a model file to pieces that the solver knows; lengths become mm and forces N here."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cli.errors import FaultsError
from cli.model.file import Model
from cli.model.stock import StockEntry
from cli.translate.places import has_length
from solver import StockError, convert_force, convert_length
from solver.strength import (
    Figure,
    JointStrength,
    Material,
    Option,
    Piece,
    Section,
    any_section,
    find_material,
    laminated,
    lap_capacity,
    loose,
    modulus_of_samples,
    rectangle,
    round_bar,
    shear_of_samples,
    spaced_pair,
    strength_of_samples,
    tube,
)

__all__ = ["joint_strengths_of", "options_of", "pieces_of"]

MOST_STICKS = 3
"""Pieces of stock side by side in one member that are tried: more than that is rarely glued well."""

_EXAMPLE = '"stocks": {"stick": {"material": "birch", "width": 10, "thickness": 2}}'


def pieces_of(model: Model) -> tuple[Piece, ...]:
    """Return what each member is made of, in the order of the members.

    Raises
    ------
    FaultsError
        When a member has no stock, a stock has no shape or an unknown material, or no length is known.
    """
    faults = [*_faults_of_members(model)]
    stocks: dict[str, tuple[Section, Material]] = {}
    for name in sorted({member.stock for member in model.members if member.stock is not None}):
        try:
            stocks[name] = _stock(model.stocks[name], model)
        except StockError as error:
            faults.append(f"stocks.{name}: {error}")
    if faults:
        raise FaultsError(tuple(faults))
    millimetre = convert_length(1.0, model.units.length, "mm")
    return tuple(
        Piece(
            *stocks[member.stock],
            effective_length=member.effective_length or 1.0,
            net=member.net or 1.0,
            bracing=None if member.bracing is None else member.bracing * millimetre,
        )
        for member in model.members
        if member.stock is not None
    )


def options_of(model: Model) -> tuple[Option, ...]:
    """Return what is at hand: each stock of the file as it is, and one, two or three pieces of it.

    Strips are glued flat on each other unless the stock says otherwise; rods and tubes lie side by side.
    """
    found: dict[str, Option] = {}
    for name, entry in model.stocks.items():
        found[name] = Option(name, *_stock(entry, model))
        if entry.gap is not None:
            continue
        loose_too = {} if entry.width is not None else {"glued": False}
        for sticks in range(1, MOST_STICKS + 1):
            if sticks != (entry.sticks or 1):
                several = entry.model_copy(update={"sticks": sticks, **loose_too})
                label = f"{sticks} × {name}" if entry.sticks is None else f"{name} of {sticks}"
                found[label] = Option(label, *_stock(several, model))
    return tuple(found.values())


def joint_strengths_of(model: Model, pieces: Sequence[Piece]) -> tuple[JointStrength, ...]:
    """Return the joints that were said to hold only so much, or whose glued lap is known.

    Parameters
    ----------
    model
        With joints.
    pieces
        Of the members, in their order: a lap holds by the weakest material that ends there.

    Raises
    ------
    FaultsError
        When nothing is known of the shear strength of a material.
    """
    newton = convert_force(1.0, model.units.force, "N")
    found, faults = [], []
    for row, joint in enumerate(model.joints):
        if joint.holds is not None:
            found.append(JointStrength(joint.name, joint.holds * newton))
        if joint.lap is not None:
            materials = [
                piece.material
                for member, piece in zip(model.members, pieces, strict=True)
                if joint.name in member.joints
            ]
            shears = [material.shear for material in materials if material.shear is not None]
            if len(shears) < len(materials):
                unknown = next(material.name for material in materials if material.shear is None)
                faults.append(
                    f"joints[{row}].lap: nothing is known of the shear strength of {unknown}: break three "
                    'glued laps and give them as the stock\'s tests, "lap" and "lap_area", or give "holds".'
                )
            elif shears:
                weakest = min(shears, key=lambda figure: figure.value)
                area = joint.lap * convert_length(1.0, model.units.length, "mm") ** 2
                lap = lap_capacity(weakest, area)
                found.append(JointStrength(joint.name, lap.force, weakest.scatter, lap))
    if faults:
        raise FaultsError(tuple(faults))
    return tuple(found)


def _faults_of_members(model: Model) -> Iterator[str]:
    if not has_length(model):
        yield "Whether a member buckles depends on its length, and no length is known: give one dimension."
    if not model.stocks:
        yield (
            "Nothing says what the members are made of: give each a stock, with "
            f'`panelpoint stock MODEL "birch 10 x 2 mm"` or in the file, {_EXAMPLE}.'
        )
        return
    for row, member in enumerate(model.members):
        if member.stock is None:
            cure = f'give it a "stock" ({", ".join(model.stocks)})'
            yield f"members[{row}]: nothing says what {'-'.join(member.joints)} is made of: {cure}."


def _stock(entry: StockEntry, model: Model) -> tuple[Section, Material]:
    millimetre = convert_length(1.0, model.units.length, "mm")
    stick = _stick(entry, millimetre)
    return _member_section(entry, stick, millimetre), _material(entry, stick, model)


def _stick(entry: StockEntry, millimetre: float) -> Section:
    """Give the section of a single piece."""
    if entry.width is not None and entry.thickness is not None:
        return rectangle(entry.width * millimetre, entry.thickness * millimetre)
    if entry.diameter is not None and entry.wall is not None:
        return tube(entry.diameter * millimetre, entry.wall * millimetre)
    if entry.diameter is not None:
        return round_bar(entry.diameter * millimetre)
    if entry.area is not None and entry.inertia is not None:
        return any_section(entry.area * millimetre**2, entry.inertia * millimetre**4)
    raise StockError(
        'it has no shape: give "width" and "thickness", or "diameter" (and "wall"), or "area" and "inertia".'
    )


def _member_section(entry: StockEntry, stick: Section, millimetre: float) -> Section:
    """Give the section of a member, which may be several pieces."""
    if entry.width is not None and entry.thickness is not None:
        width, thickness = entry.width * millimetre, entry.thickness * millimetre
        if entry.gap is not None:
            return spaced_pair(width, thickness, entry.gap * millimetre)
        if (entry.sticks or 1) > 1 and entry.glued is not False:
            # Flat on each other: the thickness, the smaller side, is what adds up.
            return laminated(max(width, thickness), min(width, thickness), entry.sticks or 1)
    return loose(stick, entry.sticks) if entry.sticks is not None and entry.sticks > 1 else stick


def _material(entry: StockEntry, stick: Section, model: Model) -> Material:
    tested = _tested(entry, stick, model)
    if entry.density is not None and {"tension", "compression", "modulus"} <= set(tested):
        density = Figure(entry.density, "as given", "own test")
        return Material(
            entry.material,
            density,
            tested["modulus"],
            tested["tension"],
            tested["compression"],
            shear=tested.get("shear"),
        )
    try:
        material = find_material(entry.material, density=entry.density)
    except StockError as error:
        if not tested:
            raise
        raise StockError(
            f"{error} A material of your own needs its density and tests of all three: tension, compression "
            "and buckling."
        ) from None
    if not tested:
        return material
    return replace(
        material,
        modulus=tested.get("modulus", material.modulus),
        tension=tested.get("tension", material.tension),
        compression=tested.get("compression", material.compression),
        shear=tested.get("shear", material.shear),
    )


def _tested(entry: StockEntry, stick: Section, model: Model) -> dict[str, Figure]:
    """Return what single pieces showed, by the name of the property."""
    found: dict[str, Figure] = {}
    if entry.tests is None:
        return found
    newton = convert_force(1.0, model.units.force, "N")
    if entry.tests.tension is not None:
        found["tension"] = strength_of_samples([load * newton for load in entry.tests.tension], stick)
    if entry.tests.compression is not None:
        found["compression"] = strength_of_samples([load * newton for load in entry.tests.compression], stick)
    if entry.tests.buckling is not None and entry.tests.buckling_length is not None:
        length = entry.tests.buckling_length * convert_length(1.0, model.units.length, "mm")
        loads = [load * newton for load in entry.tests.buckling]
        found["modulus"] = modulus_of_samples(loads, stick, length=length)
    if entry.tests.lap is not None and entry.tests.lap_area is not None:
        area = entry.tests.lap_area * convert_length(1.0, model.units.length, "mm") ** 2
        found["shear"] = shear_of_samples([load * newton for load in entry.tests.lap], area)
    return found
