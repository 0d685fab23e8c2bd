"""One bridge of the day: what was predicted, what it held, who was right."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import NormalDist

from cli.errors import FaultsError
from cli.model.file import MODEL_SUFFIX, Model
from cli.model.parts import UnitsEntry
from cli.strength.job import strength_of
from cli.strength.report import GRAVITY, StrengthAnswer
from cli.strength.words import prediction, rough
from cli.testday.contest_file import Contest
from cli.testday.limits import Finding, findings_of
from cli.testday.record_file import HOW, Record, StatedEntry
from solver import convert_force
from solver.strength import SETTINGS

__all__ = ["BY_STICKS", "Bridge", "blank_record", "bridge_of", "state"]

PROGRAM = "panelpoint"
BY_STICKS = ("member bent sideways", "member snapped")
"""Ways of letting go that say something about the stock."""
CHANGED = 0.01
"""Of a prediction: a model that gives another one than was stated was changed since."""


@dataclass(frozen=True, eq=False)
class Bridge:
    """One bridge of the day; loads are whole ones, of the whole bridge, in N."""

    name: str
    model_path: Path
    record: Record | None
    """None where nothing was taken down yet."""
    answer: StrengthAnswer
    prediction: StatedEntry
    """As stated before the test, else as worked out now, in the units of the record or model."""
    units: UnitsEntry
    findings: tuple[Finding, ...]
    remarks: tuple[str, ...]

    def _newtons(self, load: float) -> float:
        return convert_force(load, self.units.force, "N")

    @property
    def predicted(self) -> tuple[float, float, float]:
        """Median and range, N."""
        low, middle, high = self.prediction.low, self.prediction.load, self.prediction.high
        return self._newtons(middle), self._newtons(low), self._newtons(high)

    @property
    def held(self) -> float | None:
        """Last load held, N."""
        return (
            None
            if self.record is None or self.record.last_held is None
            else self._newtons(self.record.last_held)
        )

    @property
    def tested(self) -> bool:
        """Whether it was tested."""
        return self.held is not None

    @property
    def grams(self) -> float:
        """As weighed, else what the members weigh by the model."""
        return self.model_grams if self.record is None or self.record.mass is None else self.record.mass

    @property
    def weighed(self) -> bool:
        """Whether the mass is as weighed."""
        return self.record is not None and self.record.mass is not None

    @property
    def model_grams(self) -> float:
        """What the members of all its trusses weigh."""
        return self.answer.standing.mass * (1 if self.record is None else self.record.trusses)

    @property
    def efficiency(self) -> float | None:
        """Load held over own weight, a ratio."""
        return None if self.held is None else self.held / (self.grams / 1000 * GRAVITY)

    @property
    def ratio(self) -> float | None:
        """Load held over load predicted."""
        return None if self.held is None else self.held / self.predicted[0]

    @property
    def in_range(self) -> bool | None:
        """Whether the load held lies in the range that was predicted."""
        if self.held is None:
            return None
        _, low, high = self.predicted
        return low <= self.held <= high

    @property
    def let_go(self) -> str:
        """What let go: `member bent sideways: E-F`."""
        if self.record is None or self.record.let_go is None:
            return ""
        what = ", ".join(self.record.let_go.what)
        return f"{self.record.let_go.how}{': ' if what else ''}{what}"

    @property
    def let_go_short(self) -> str:
        """The same for a narrow column: `bent E-F`."""
        if self.record is None or self.record.let_go is None:
            return ""
        words = {how: word for word, how in HOW.items()}
        return " ".join((words[self.record.let_go.how], *self.record.let_go.what))

    @property
    def right(self) -> tuple[str, ...] | None:
        """Who predicted the member or joint that let go; None where it is not known which one did."""
        if self.record is None or self.record.let_go is None or not self.record.let_go.what:
            return None
        what = set(self.record.let_go.what)
        people = [guess.by for guess in self.record.guesses if guess.first in what]
        program = [PROGRAM] if what & set(self.prediction.first) else []
        return (*program, *people)

    @property
    def nearest(self) -> tuple[str, float] | None:
        """Whose guess of the load was nearest, and that load in N; None where nobody guessed."""
        if self.held is None or self.record is None:
            return None
        held = self.held
        loads = [(guess.by, self._newtons(guess.load)) for guess in self.record.guesses if guess.load]
        return min(loads, key=lambda one: abs(one[1] - held), default=None)

    @property
    def failure(self) -> float | None:
        """Load at which it let go, N: midway between the last step held and the next one, where known."""
        if self.held is None or self.record is None:
            return None
        above = self.record.failed_at
        return self.held if above is None else math.sqrt(self.held * self._newtons(above))

    @property
    def log_spread(self) -> float:
        """Standard deviation of the logarithm of the load that was predicted."""
        wide = 2 * NormalDist().inv_cdf((1 + SETTINGS.share) / 2)
        _, low, high = self.predicted
        return math.log(high / low) / wide if low > 0 else self.answer.chances.log_spread


def state(answer: StrengthAnswer, *, trusses: int, unit: str) -> StatedEntry:
    """Return what the program predicts of a bridge of so many trusses, in a force unit.

    Raises
    ------
    FaultsError
        When the truss does not even carry its own weight: nothing can be predicted of a test.
    """
    if answer.chances.median <= 0:
        raise FaultsError((f'{answer.prediction} Mend "self_weight" or the stock in the model file first.',))
    low, high = answer.chances.interval
    load, low, high = (
        float(f"{trusses * convert_force(value, 'N', unit):.6g}")
        for value in (answer.chances.median, low, high)
    )
    governing = answer.standing.governing
    sentence = prediction(
        governing,
        load=load,
        interval=(low, high),
        write=lambda value: f"{rough(value)} {unit}",
    )
    first = tuple(check.name for check in governing)
    return StatedEntry(load=load, low=low, high=high, first=first, sentence=sentence)


def blank_record(model: Model, model_path: Path) -> Record:
    """Return the record of a bridge before anything was taken down."""
    name = model.title or model_path.name.removesuffix(MODEL_SUFFIX)
    before = None if model.picture is None else model.picture.file
    return Record(bridge=name, model=model_path.name, units=model.units, before=before)


def bridge_of(model: Model, model_path: Path, record: Record | None, contest: Contest | None) -> Bridge:
    """Work one bridge out.

    Parameters
    ----------
    model
        Of one of its trusses.
    model_path
        Where that lies.
    record
        Of its test, where there is one.
    contest
        The rules, where there are some.

    Raises
    ------
    CliError, SolverError, SurveyError
        When the model cannot be worked out.
    """
    answer = strength_of(model, curve="least", seed=0)
    units = model.units if record is None else record.units
    now = state(answer, trusses=1 if record is None else record.trusses, unit=units.force)
    stated = None if record is None else record.stated
    truss = answer.standing.demand.truss
    grams = answer.standing.mass * (1 if record is None else record.trusses)
    return Bridge(
        name=record.bridge if record is not None else blank_record(model, model_path).bridge,
        model_path=model_path,
        record=record,
        answer=answer,
        prediction=stated or now,
        units=units,
        findings=() if contest is None else findings_of(contest, model, truss, record, grams=grams),
        remarks=()
        if record is None
        else (
            *_about_prediction(record, now),
            *_about_hold(record, None if contest is None else contest.hold),
            *_about_pictures(record, model_path.parent),
        ),
    )


def _about_prediction(record: Record, now: StatedEntry) -> Iterator[str]:
    """Say when nothing was stated before the test, or something else than the model gives now."""
    if record.stated is None:
        if record.last_held is not None:
            yield "nothing was stated before the test; what is predicted here was worked out afterwards"
        return
    was, unit = record.stated.load, record.units.force
    if abs(was / now.load - 1) > CHANGED:
        yield (
            f"its model was changed since the prediction: it now gives {now.load:.3g} {unit} in place of "
            f"{was:.3g}; what was stated counts"
        )


def _about_hold(record: Record, hold: float | None) -> Iterator[str]:
    """Say when the last load was not held as long as the rules ask."""
    for step in record.steps:
        short = hold is not None and step.seconds is not None and step.seconds < hold
        if short and step.load == record.last_held:
            yield (
                f"its last load was held {step.seconds:g} s, and the rules ask for {hold:g} s: by them "
                'the step before it is its "last_held"'
            )


def _about_pictures(record: Record, folder: Path) -> Iterator[str]:
    """Name photographs that are not where the record says."""
    for name in (record.before, record.after):
        if name is not None and not (folder / name).is_file():
            yield f"the picture {name} is not there"
