"""The words that a language has to give: one field a sentence, grouped by the sheet that says it.

`{name}` in a sentence is filled in by the sheet, with words, numbers or mathematics.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cli.sheets.words import SheetWords
from cli.wording.marking_words import ClassWords, FeedbackWords, MarkWords, SlipWords
from cli.wording.worksheet_words import WorksheetWords

__all__ = ["CommonWords", "HandoutWords", "StabilityWords", "Wording", "WorkedWords"]


@dataclass(frozen=True)
class CommonWords:
    """What every sheet may say."""

    tension: str
    compression: str
    zero: str
    unsure: str
    """What T, C, 0 and ? mean."""
    member: str
    joint: str
    force: str
    force_in: str
    """Head of a column: force in `{unit}`."""
    length_in: str
    sense: str
    """Head of the column of T and C."""
    support: str
    pin: str
    roller: str
    right_in: str
    up_in: str
    error: str
    """Head of the column of standard errors."""
    separator: str
    """Between names in a list."""
    last: str
    """Before the last name of a list."""
    more: str
    """Instead of names that are too many: `{count}`."""
    caution_head: str
    cautions: tuple[str, ...]
    """What is assumed; what it is for; safety when testing: as `cli.cautions` has them."""


@dataclass(frozen=True)
class StabilityWords:
    """Why a truss has no unique answer, and what to do about it."""

    moves: str
    moves_in_ways: str
    whole_slides_sideways: str
    whole_slides_up: str
    whole_slides_at_a_slant: str
    whole_turns: str
    panel_racks: str
    panels_rack: str
    joint_moves: str
    joints_move: str
    count_hides_it: str
    add_support: str
    rollers_in_line: str
    through_one_point: str
    put_diagonal: str
    put_diagonals: str
    add_member: str
    indeterminate: str
    indeterminate_elsewhere: str
    one_more: str
    several_more: str
    shared_by: str
    one_member: str
    several_members: str
    one_support: str
    several_supports: str
    take_one: str
    take_several: str
    one_or_roller: str
    several_or_roller: str


@dataclass(frozen=True)
class WorkedWords:
    """The worked solution."""

    kind: str
    untitled: str
    picture: str
    picture_alt: str
    picture_caption: str
    truss: str
    truss_alt: str
    truss_caption: str
    assumptions: str
    assumed: tuple[str, ...]
    weightless: str
    with_weight: str
    signs: str
    rounding: str
    count: str
    count_text: str
    determinate: str
    run: str
    rise: str
    slopes: str
    slopes_text: str
    slope_heads: tuple[str, str, str, str]
    """Members; run, rise, length in `{unit}`."""
    loads: str
    loads_text: str
    load_heads: tuple[str, str, str, str]
    """Joint; to the right and up in `{unit}`; because."""
    deck_share: str
    weight_share: str
    lever_share: str
    lever_note: str
    reactions: str
    reactions_text: str
    whole_alt: str
    part_text: str
    sum_text: str
    ways: Mapping[str, str]
    """By `Equation.kind`, `x` or `y`: where a sum of forces is positive."""
    moment_text: str
    reactions_left: str
    zero_members: str
    zero_text: str
    zero_rules: Mapping[str, str]
    """By `ZeroForceStep.rule`."""
    zero_line: str
    """`{members}` carry nothing: `{rule}`."""
    joints: str
    joints_text: str
    joint_head: str
    joint_alt: str
    together: str
    together_all: str
    must_hold: str
    section_head: str
    section_alt: str
    section_text: str
    section_moment: str
    section_along: str
    section_across: str
    block_head: str
    block_text: str
    members: str
    members_caption: str
    reactions_caption: str
    forces: str
    forces_alt: str
    forces_caption: str
    forces_in_table: str
    overlay_alt: str
    overlay_caption: str
    checks: str
    check_whole: str
    check_joint: str
    check_sections: str
    residual: str
    sure: str
    sure_exact: str
    sure_written: str
    sure_picked: str
    sure_all: str
    sure_not: str
    notices: Mapping[str, str]
    """By `Notice.kind`: what the reader should know besides the numbers."""
    no_answer: str
    no_answer_text: str
    motion_alt: str
    motion_caption: str


@dataclass(frozen=True)
class HandoutWords:
    """The handout for a class."""

    kind: str
    table_caption: str
    ranking: str
    ranking_caption: str
    ranking_heads: tuple[str, str, str, str, str]
    modes: Mapping[str, str]
    """By `Capacity.mode`: how a member or joint gives way."""
    overlay_alt: str
    no_picture_alt: str


@dataclass(frozen=True)
class Wording:
    """Everything that sheets say in one language."""

    language: str
    """As BCP 47 has it."""
    decimal: str
    """Decimal sign."""
    page: str
    """At the foot of a page: `{page}` of `{pages}`."""
    sheet: SheetWords
    """In the legend of an overlay."""
    common: CommonWords
    stability: StabilityWords
    worked: WorkedWords
    handout: HandoutWords
    worksheet: WorksheetWords
    marks: MarkWords
    slips: SlipWords
    feedback: FeedbackWords
    summary: ClassWords
