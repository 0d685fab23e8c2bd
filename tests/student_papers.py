"""Papers of a synthetic class: students who work published trusses joint by joint, with slips and rounding.

Written as a student works, from the case file alone: reactions by moments, then joint after joint in a random
order with sines and cosines of angles. It shares no code with `solver`, so that a marker that names its slips
has found them in the numbers.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

Name = tuple[str, ...]
"""`("member", a, b)` or `("reaction", joint, axis)`."""


Touched = tuple[set[int], set[int]]
"""Slips, by their place in the list, that stand in a body's sum across and in its sum up."""


def _touch(touched: Touched, number: int, axes: str) -> None:
    for axis in axes:
        touched["xy".index(axis)].add(number)


@dataclass(frozen=True)
class Planted:
    """One slip that a student makes."""

    kind: str
    joint: str = ""
    member: Name = ()
    axis: str = ""
    other: str = ""
    factor: float = 1.0
    digits: str = ""


@dataclass(frozen=True)
class Hand:
    """How a student rounds."""

    degrees: bool = False
    """Angles to whole degrees."""
    carried: int | None = None
    """Significant figures kept from step to step."""
    figures: int = 3
    """Significant figures written on the paper."""


EXACT = Hand(figures=12)
HANDS = (
    Hand(degrees=True, carried=3, figures=3),
    Hand(degrees=False, carried=3, figures=3),
    Hand(degrees=False, carried=4, figures=4),
    Hand(degrees=False, carried=None, figures=4),
    Hand(degrees=True, carried=None, figures=4),
)


def figures(value: float, count: int | None) -> float:
    """Round to significant figures."""
    if count is None or value == 0 or not math.isfinite(value):
        return value
    return round(value, count - 1 - math.floor(math.log10(abs(value))))


def unit_of(value: float, count: int) -> float:
    """Give the unit of the last of so many significant figures."""
    return 10.0 ** (math.floor(math.log10(abs(value))) - count + 1) if value else 10.0 ** (1 - count)


@dataclass
class Work:
    """What stands on a student's scratch paper."""

    used: dict[Name, float] = field(default_factory=dict)
    """Values as carried on."""
    written: dict[Name, float] = field(default_factory=dict)
    """Values as handed in."""
    touched: dict[Name, set[int]] = field(default_factory=dict)
    """Slips, by their place in the list, that stood in the very equations of a value."""
    place: dict[Name, str] = field(default_factory=dict)
    """Where each value was found: a joint, or empty for the whole truss."""


class Student:
    """Works one truss with given slips."""

    def __init__(self, facts: dict[str, Any], slips: tuple[Planted, ...], hand: Hand, order: int) -> None:
        self.facts, self.slips, self.hand = facts, slips, hand
        self.draw = random.Random(order)  # noqa: S311  a seed, so that a paper can be worked again
        self.at = {name: (float(x), float(y)) for name, (x, y) in facts["joints"].items()}
        self.members: list[Name] = [("member", a, b) for a, b in facts["members"]]
        self.loads: dict[str, list[float]] = {}
        for load in facts["loads"]:
            here = self.loads.setdefault(load["joint"], [0.0, 0.0])
            here[0] += float(load["force"][0])
            here[1] += float(load["force"][1])
        self.pushes: dict[Name, tuple[float, float]] = {}
        for support in facts["supports"]:
            joint = support["joint"]
            if support["kind"] == "pin":
                self.pushes["reaction", joint, "x"] = (1.0, 0.0)
                self.pushes["reaction", joint, "y"] = (0.0, 1.0)
            else:
                nx, ny = support["normal"] or (0.0, 1.0)
                self.pushes["reaction", joint, "n"] = self._parts(nx, ny)
        self.work = Work()

    # -- what stands in an equation, slips included -------------------------------------------------------

    def _parts(self, run: float, rise: float, *, swap: bool = False, wild: str = "") -> tuple[float, float]:
        """Give cosine and sine of a direction, from its angle with the level."""
        if run == 0 or rise == 0:
            return math.copysign(1.0, run) if run else 0.0, math.copysign(1.0, rise) if rise else 0.0
        angle = math.degrees(math.atan2(abs(rise), abs(run)))
        if self.hand.degrees:
            angle = float(round(angle))
        turn = math.radians(angle)
        if wild == "radians":
            turn = angle
        level, up = math.cos(turn), math.sin(turn)
        if wild == "rounded":
            level, up = round(level, 1), round(up, 1)
        if wild == "tangent":
            up = math.tan(turn)
        if swap:
            level, up = up, level
        return math.copysign(level, run) if wild != "radians" else level * math.copysign(1, run), (
            math.copysign(up, rise) if wild != "radians" else up * math.copysign(1, rise)
        )

    def pull(self, name: Name, joint: str, touched: Touched) -> list[float]:
        """Give the parts of a unit force on a joint, as this student writes them."""
        if name[0] == "reaction":
            return list(self.pushes[name])
        far = name[2] if name[1] == joint else name[1]
        run, rise = (b - a for a, b in zip(self.at[joint], self.at[far], strict=True))
        swap, wild, sloping = False, "", run != 0 and rise != 0
        for number, slip in enumerate(self.slips):
            mine = slip.member == name
            hit = sloping and (
                (slip.kind == "trig_at" and slip.joint == joint and mine)
                or (slip.kind == "trig_joint" and slip.joint == joint)
                or (slip.kind == "trig_member" and mine)
                or slip.kind == "trig_all"
            )
            if hit:
                swap = not swap
                _touch(touched, number, "xy")
            if sloping and slip.kind in {"radians", "tangent", "rounded"} and slip.joint in {joint, ""}:
                wild = slip.kind
                _touch(touched, number, "xy")
        for number, slip in enumerate(self.slips):
            if slip.kind == "misread_angle" and slip.member == name and sloping:
                rise *= slip.factor
                _touch(touched, number, "xy")
        parts = list(self._parts(run, rise, swap=swap, wild=wild))
        for number, slip in enumerate(self.slips):
            if slip.joint == joint and slip.member == name:
                axis = "xy".find(slip.axis) if slip.axis else -1
                if slip.kind == "component_out":
                    parts[axis] = 0.0
                    _touch(touched, number, slip.axis)
                if slip.kind == "component_sign":
                    parts[axis] *= -1
                    _touch(touched, number, slip.axis)
        return parts

    def load_at(self, joint: str, where: str, touched: Touched) -> list[float]:
        """Give the load that this student puts into the equations of a joint or of the whole truss."""
        load = list(self.loads.get(joint, [0.0, 0.0]))
        for number, slip in enumerate(self.slips):
            if slip.joint != joint:
                continue
            scope = slip.kind.rpartition("_")[2]
            if scope not in {"all", where}:
                continue
            before = list(load)
            if slip.kind.startswith("load_out"):
                load = [0.0, 0.0]
            if slip.kind.startswith("load_sign"):
                load = [-load[0], -load[1]]
            if slip.kind.startswith("load_read"):
                load = [slip.factor * load[0], slip.factor * load[1]]
            for axis, was, now in zip("xy", before, load, strict=True):
                if was != now:
                    _touch(touched, number, axis)
        return load

    # -- the work itself ----------------------------------------------------------------------------------

    def run(self) -> Work | None:
        """Work the truss; none where joints alone do not lead to the end."""
        rollers = [name for name in self.pushes if name[2] == "n"]
        if len(self.pushes) == 3 and len(rollers) == 1:
            self._reactions(rollers[0])
        while len(self.work.used) < len(self.members) + len(self.pushes):
            ready = [joint for joint in self.at if 1 <= len(self._unknown(joint)) <= 2]
            ready = [joint for joint in ready if self._solvable(joint)]
            if not ready:
                return None
            try:
                self._joint(self.draw.choice(ready))
            except ZeroDivisionError:
                return None  # with this slip the equations of the joint give nothing
        self._hand_in()
        return self.work

    def _reactions(self, roller: Name) -> None:
        """Take moments about the pin, then sum up and across."""
        pin = next(name[1] for name in self.pushes if name[2] == "x")
        touched: Touched = (set(), set())
        x0, y0 = self.at[pin]
        moment = 0.0
        for joint in self.loads:
            fx, fy = self.load_at(joint, "whole", touched)
            x, y = self.at[joint]
            for number, slip in enumerate(self.slips):
                if slip.kind == "lever_arm" and slip.joint == joint:
                    x, y = self.at[slip.other]
                    _touch(touched, number, "xy")
            moment += (x - x0) * fy - (y - y0) * fx
        x, y = self.at[roller[1]]
        px, py = self.pushes[roller]
        push = -moment / ((x - x0) * py - (y - y0) * px)
        for number, slip in enumerate(self.slips):
            if slip.kind == "half_each" and abs(py) > 0.7:
                push = -0.5 * sum(load[1] for load in self.loads.values()) / (py or 1.0)
                _touch(touched, number, "xy")
        self._note(roller, push, touched[0] | touched[1], "")
        across: Touched = (set(), set())
        loads = [self.load_at(joint, "whole", across) for joint in self.loads]
        found = self.work.used[roller]
        self._note(("reaction", pin, "x"), -sum(load[0] for load in loads) - px * found, across[0], "")
        self._note(("reaction", pin, "y"), -sum(load[1] for load in loads) - py * found, across[1], "")
        for number, slip in enumerate(self.slips):
            if slip.kind == "reactions_swapped" and abs(self.pushes[roller][1]) > 0.7:
                one, other = ("reaction", pin, "y"), roller
                self.work.used[one], self.work.used[other] = self.work.used[other], self.work.used[one]
                for name in (one, other):
                    self.work.touched[name].add(number)

    def _unknown(self, joint: str) -> list[Name]:
        here = [name for name in self.members if joint in name[1:]]
        here += [name for name in self.pushes if name[1] == joint]
        return [name for name in here if name not in self.work.used]

    def _here(self, joint: str) -> list[Name]:
        here = [name for name in self.members if joint in name[1:]]
        return here + [name for name in self.pushes if name[1] == joint]

    def _solvable(self, joint: str) -> bool:
        names = self._unknown(joint)
        if len(names) < 2:
            return True
        (a, c), (b, d) = (self._true_pull(name, joint) for name in names)
        return abs(a * d - b * c) > 0.05

    def _true_pull(self, name: Name, joint: str) -> tuple[float, float]:
        if name[0] == "reaction":
            return self.pushes[name]
        far = name[2] if name[1] == joint else name[1]
        run, rise = (b - a for a, b in zip(self.at[joint], self.at[far], strict=True))
        size = math.hypot(run, rise)
        return run / size, rise / size

    def _joint(self, joint: str) -> None:
        """Write the two sums, and solve the simpler first where it has one unknown."""
        touched: Touched = (set(), set())
        unknown = self._unknown(joint)
        sums = self.load_at(joint, "joint", touched)
        for name in self._here(joint):
            if name in unknown:
                continue
            value = self.work.used[name]
            for slip in self.slips:
                if slip.kind == "wrong_line" and slip.joint == joint and slip.member == name:
                    value = self._another(name)
            part = self.pull(name, joint, touched)
            sums = [total + value * share for total, share in zip(sums, part, strict=True)]
        pulls = {name: self.pull(name, joint, touched) for name in unknown}
        if len(unknown) == 1:
            (name,) = unknown
            axis = 0 if abs(pulls[name][0]) > abs(pulls[name][1]) else 1
            self._note(name, -sums[axis] / pulls[name][axis], touched[axis], joint)
            return
        for axis in (1, 0):
            slanted = [name for name in unknown if pulls[name][axis]]
            if len(slanted) == 1:
                first = slanted[0]
                second = next(name for name in unknown if name != first)
                self._note(first, -sums[axis] / pulls[first][axis], touched[axis], joint)
                rest = sums[1 - axis] + self.work.used[first] * pulls[first][1 - axis]
                self._note(second, -rest / pulls[second][1 - axis], touched[1 - axis], joint)
                return
        (a, c), (b, d) = (pulls[name] for name in unknown)
        size = a * d - b * c
        both = touched[0] | touched[1]
        self._note(unknown[0], (-sums[0] * d + sums[1] * b) / size, both, joint)
        self._note(unknown[1], (-sums[1] * a + sums[0] * c) / size, both, joint)

    def _another(self, name: Name) -> float:
        others = [value for key, value in self.work.used.items() if key != name and key[0] == "member"]
        return others[0] if others else 0.0

    def _note(self, name: Name, value: float, touched: set[int], place: str) -> None:
        touched = set(touched)
        for number, slip in enumerate(self.slips):
            if slip.member != name:
                continue
            if slip.kind == "sense_carried":
                value = -value
                touched.add(number)
            if slip.kind == "arithmetic":
                value *= slip.factor
                touched.add(number)
            if slip.kind == "digits_carried":
                value = _miscopied(figures(value, self.hand.figures), slip.digits, self.hand.figures)
                touched.add(number)
        self.work.used[name] = figures(value, self.hand.carried)
        self.work.touched[name] = touched
        self.work.place[name] = place

    def _hand_in(self) -> None:
        dust = 1e-9 * max(abs(value) for value in self.work.used.values())
        written = {
            name: figures(value, self.hand.figures) if abs(value) > dust else 0.0
            for name, value in self.work.used.items()
        }
        for number, slip in enumerate(self.slips):
            if slip.kind == "sense_written":
                written[slip.member] *= -1
                self.work.touched[slip.member].add(number)
            if slip.kind == "digits_written":
                written[slip.member] = _miscopied(written[slip.member], slip.digits, self.hand.figures)
                self.work.touched[slip.member].add(number)
            if slip.kind == "sense_all":
                written = {name: -value if name[0] == "member" else value for name, value in written.items()}
            if slip.kind == "unit_all":
                written = {name: value * slip.factor for name, value in written.items()}
            if slip.kind == "unit_one":
                written[slip.member] *= slip.factor
            if slip.kind == "guesses":
                for name in self.members[:: max(1, len(self.members) // 3)]:
                    written[name] = figures(
                        written[name] * self.draw.uniform(0.4, 2.2) + 1.0, self.hand.figures
                    )
                    self.work.touched[name].add(number)
        self.work.written = written


def _miscopied(value: float, digits: str, count: int) -> float:
    """Exchange two neighbour digits (`t` and place), or change one (`c`, place, new digit)."""
    if value == 0:
        return value
    unit = unit_of(value, count)
    text = str(round(abs(value) / unit))
    place = int(digits[1]) % len(text)
    if digits[0] == "t":
        place = min(place, len(text) - 2)
        text = text[:place] + text[place + 1] + text[place] + text[place + 2 :]
    else:
        text = text[:place] + digits[2] + text[place + 1 :]
    return math.copysign(int(text) * unit, value)


def worked(
    facts: dict[str, Any], slips: tuple[Planted, ...] = (), hand: Hand = EXACT, order: int = 0
) -> Work | None:
    """Work a truss from the case file."""
    return Student(facts, slips, hand, order).run()


@dataclass(frozen=True)
class Truth:
    """What a careful person marking by hand would say of one answer."""

    size: str
    sense: str


@dataclass(frozen=True)
class PaperOfClass:
    """One synthetic paper."""

    facts: dict[str, Any]
    slips: tuple[Planted, ...]
    hand: Hand
    written: dict[Name, float]
    truth: dict[Name, Truth]
    unit: str
    """`right` or `wrong`."""


def tolerances(facts: dict[str, Any], key: dict[Name, float]) -> dict[Name, float]:
    """Give 2 %, or what honest rounding does in a dozen orders, whichever is more."""
    found = {name: 0.02 * abs(value) for name, value in key.items()}
    for hand in HANDS[:2]:
        for order in range(12):
            honest = worked(facts, (), hand, order)
            assert honest is not None
            for name, value in honest.written.items():
                found[name] = max(found[name], 1.25 * abs(value - key[name]))
    return found


def paper(
    facts: dict[str, Any],
    slips: tuple[Planted, ...],
    hand: Hand,
    order: int,
    *,
    slack: dict[Name, float],
    sheet: list[Name],
) -> PaperOfClass | None:
    """Work a paper, and mark it as a careful person would; none where a slip changes nothing that shows.

    `sheet` is the order of the teacher's worked solution: who sees answers only, and finds a slip repeated at
    several joints, takes the first of them there.
    """
    key, clean = worked(facts), worked(facts, slips, EXACT, order)
    done = worked(facts, slips, hand, order)
    assert key is not None
    if clean is None or done is None or not all(math.isfinite(value) for value in done.written.values()):
        return None
    if any(len(touched) > 1 for touched in clean.touched.values()):
        return None  # nobody can tell two slips in the very same equation from one
    for slip in slips:
        if slip.member in clean.written and slip.kind.rpartition("_")[2] in {"written", "carried", "one"}:
            meant = abs(clean.written[slip.member] - key.written[slip.member])
            if meant <= 1.5 * slack[slip.member] + unit_of(clean.written[slip.member], hand.figures):
                return None  # two slips that undo each other show in nothing
    for number in range(len(slips)):
        without = worked(facts, slips[:number] + slips[number + 1 :], EXACT, order)
        if without is None or not _shows(clean, without, slack):
            return None
    factor = math.prod(slip.factor for slip in slips if slip.kind == "unit_all")
    truth = {}
    firsts = _first_places(clean, key, slack, factor, sheet)
    turned = any(slip.kind == "sense_all" for slip in slips)
    told_first = False
    for name, right in key.written.items():
        allowed = max(slack[name], unit_of(done.written[name], hand.figures) / 2)
        value = clean.written[name] / factor
        for slip in slips:
            if slip.kind == "unit_one" and slip.member == name:
                value /= slip.factor
        hits = {slips[n].kind for n in clean.touched[name] if clean.place[name] == firsts.get(n)}
        hit = any(not kind.startswith("sense") for kind in hits)
        size = "right" if abs(abs(value) - abs(right)) <= allowed else "wrong" if hit else "followed"
        meant = -value if turned and name[0] == "member" else value
        sense = ""
        if abs(right) > allowed:
            if abs(value) < 1e-6 * abs(right):
                sense = size if done.written[name] == 0 else ""
            elif done.written[name] == 0:
                sense = size
            elif (value > 0) == (right > 0):
                sense = "right"
            elif turned and (meant > 0) == (right > 0):
                sense = "followed" if told_first else "wrong"
                told_first = True
            else:
                sense = "wrong" if hits else "followed"
        truth[name] = Truth(size, sense)
    unit = "wrong" if any(slip.kind.startswith("unit") for slip in slips) else "right"
    return PaperOfClass(facts, slips, hand, done.written, truth, unit)


def _shows(one: Work, other: Work, slack: dict[Name, float]) -> bool:
    return any(
        abs(value - other.written[name]) > 1.5 * slack[name] + 1e-9 for name, value in one.written.items()
    )


def _first_places(
    work: Work, key: Work, slack: dict[Name, float], factor: float, sheet: list[Name]
) -> dict[int, str]:
    """Give the place where each slip first made a value wrong: the student pays for it there."""
    firsts: dict[int, str] = {}
    for name, touched in sorted(work.touched.items(), key=lambda item: sheet.index(item[0])):
        if abs(work.written[name] / factor - key.written[name]) > slack[name]:
            for number in touched:
                firsts.setdefault(number, work.place[name])
    return firsts


def draw_known(facts: dict[str, Any], draw: random.Random) -> Planted:
    """Draw a slip of the kinds that the marker says it knows."""
    at, members, loads, steps = _parts_of(facts)
    kinds: dict[str, Callable[[], Planted]] = {
        "trig_at": lambda: Planted("trig_at", *_end(draw, members)),
        "trig_joint": lambda: Planted("trig_joint", draw.choice(list(at))),
        "trig_member": lambda: Planted("trig_member", "", _end(draw, members)[1]),
        "trig_all": lambda: Planted("trig_all"),
        "component_out": lambda: Planted("component_out", *_end(draw, members), draw.choice("xy")),
        "rounded": lambda: Planted("rounded"),
        "component_sign": lambda: Planted("component_sign", *_end(draw, members), draw.choice("xy")),
        "half_each": lambda: Planted("half_each"),
        "load_out_joint": lambda: Planted("load_out_joint", draw.choice(loads)),
        "load_out_whole": lambda: Planted("load_out_whole", draw.choice(loads)),
        "load_out_all": lambda: Planted("load_out_all", draw.choice(loads)),
        "load_sign_joint": lambda: Planted("load_sign_joint", draw.choice(loads)),
        "load_sign_whole": lambda: Planted("load_sign_whole", draw.choice(loads)),
        "load_sign_all": lambda: Planted("load_sign_all", draw.choice(loads)),
        "reactions_swapped": lambda: Planted("reactions_swapped"),
        "lever_arm": lambda: _arm(draw, at, loads, facts["supports"]),
        "sense_all": lambda: Planted("sense_all"),
        "sense_written": lambda: Planted("sense_written", "", draw.choice(members)),
        "sense_carried": lambda: Planted("sense_carried", "", draw.choice(members)),
        "unit_all": lambda: Planted("unit_all", factor=draw.choice((1000.0, 0.001, 12.0, 4.448, 1 / 4.448))),
        "unit_one": lambda: Planted("unit_one", "", draw.choice(steps), factor=draw.choice((1000.0, 0.001))),
        "digits_written": lambda: Planted("digits_written", "", draw.choice(steps), digits=_digits(draw)),
        "digits_carried": lambda: Planted("digits_carried", "", draw.choice(steps), digits=_digits(draw)),
    }
    return kinds[draw.choice(list(kinds))]()


def draw_unknown(facts: dict[str, Any], draw: random.Random) -> Planted:
    """Draw a slip of kinds that no marker was told of."""
    at, members, loads, steps = _parts_of(facts)
    kinds: dict[str, Callable[[], Planted]] = {
        "arithmetic": lambda: Planted(
            "arithmetic",
            "",
            draw.choice(steps),
            factor=draw.choice((0.55, 0.7, 0.83, 1.17, 1.37, 1.6)) * draw.uniform(0.97, 1.03),
        ),
        "radians": lambda: Planted("radians", draw.choice(["", *at])),
        "tangent": lambda: Planted("tangent", draw.choice(["", *at])),
        "wrong_line": lambda: Planted("wrong_line", *_end(draw, members)),
        "load_read_all": lambda: Planted("load_read_all", draw.choice(loads), factor=_wrongly(draw)),
        "load_read_joint": lambda: Planted("load_read_joint", draw.choice(loads), factor=_wrongly(draw)),
        "misread_angle": lambda: Planted("misread_angle", "", draw.choice(members), factor=_wrongly(draw)),
        "guesses": lambda: Planted("guesses"),
    }
    return kinds[draw.choice(list(kinds))]()


def _wrongly(draw: random.Random) -> float:
    """Give a factor that no rule has."""
    return draw.choice((0.55, 0.7, 0.83, 1.17, 1.37, 1.6)) * draw.uniform(0.97, 1.03)


def _parts_of(facts: dict[str, Any]) -> tuple[dict[str, Any], list[Name], list[str], list[Name]]:
    members: list[Name] = [("member", a, b) for a, b in facts["members"]]
    loads = list(dict.fromkeys(load["joint"] for load in facts["loads"]))
    work = worked(facts)
    assert work is not None
    return (
        facts["joints"],
        members,
        loads,
        [name for name, value in work.written.items() if abs(value) > 1e-9],
    )


def _end(draw: random.Random, members: list[Name]) -> tuple[str, Name]:
    member = draw.choice(members)
    return draw.choice(member[1:]), member


def _arm(
    draw: random.Random, at: dict[str, Any], loads: list[str], supports: list[dict[str, Any]]
) -> Planted:
    """Take the lever arm of the joint next along the truss."""
    joint = draw.choice(loads)
    x = at[joint][0]
    levels = sorted({place[0] for place in at.values()})
    row = levels.index(x)
    near = [levels[n] for n in (row - 1, row + 1) if 0 <= n < len(levels)]
    if not near:
        return Planted("lever_arm", joint, other=joint)
    wanted = draw.choice(near)
    others = [name for name, place in at.items() if place[0] == wanted]
    same = [name for name in others if at[name][1] == at[joint][1]]
    other = draw.choice(same or others)
    # With no lever arm at all about the pin, the load would be left out.
    if any(at[pin["joint"]][0] == at[other][0] for pin in supports if pin["kind"] == "pin"):
        other = joint
    return Planted("lever_arm", joint, other=other)


def _digits(draw: random.Random) -> str:
    if draw.random() < 0.5:
        return f"t{draw.randrange(4)}"
    return f"c{draw.randrange(4)}{draw.randrange(1, 10)}"
