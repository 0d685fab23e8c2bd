"""The words of the worksheet and its key; see `words`."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["WorksheetWords"]


@dataclass(frozen=True)
class WorksheetWords:
    """The clean worksheet and its key."""

    kind: str
    key: str
    sheet: str
    """Under the title of a sheet on its own: `{code}`."""
    version: str
    """Under the title of a version: `{letter}`, `{code}`."""
    name: str
    group: str
    date: str
    """What a pupil fills in."""
    task: str
    """What is asked; forces are in `{unit}`, to `{figures}` significant figures."""
    figure_alt: str
    """`{names}` are the joints' names."""
    leaning_load: str
    """`{joint}`, `{across}` and `{up}` with their units, `{side}` and `{way}` from the words below."""
    leaning_roller: str
    """`{joint}`, `{across}` for every `{up}`, `{side}` and `{way}` from the words below."""
    right: str
    left: str
    up: str
    down: str
    deck: str
    """A spread load `{load}` from joint `{first}` to joint `{last}`."""
    weight: str
    """Self-weight `{load}`."""
    count: str
    members_word: str
    reactions_word: str
    joints_word: str
    determinate_choice: str
    reactions: str
    reactions_hint: str
    reactions_push: str
    """More of it, where a roller pushes another way than straight up."""
    members: str
    members_hint: str
    senses: str
    """What a pupil circles."""
    key_text: str
    key_figure_alt: str
    """The forces are in the table beside it."""
    exactly: str
    """Head of a column."""
    no_zero: str
    zero: str
    """`{members}` carry nothing."""
    zero_now: str
    """`{members}` carry nothing here, and something in the truss that the versions were made from."""
    zero_before: str
    """`{members}` carry something here, and nothing in the truss that the versions were made from."""
    steps: str
    step_whole: str
    step_part: str
    """`{joints}` of the part that is looked at."""
    step_zero: str
    """`{members}` carry nothing at `{joint}`."""
    step_joint: str
    """`{joint}`."""
    step_section: str
    """`{members}` that are cut."""
    step_together: str
    """`{joints}`."""
    cover: str
    cover_text: str
    """`{seed}` that the versions were drawn from."""
    cover_head: tuple[str, str, str, str, str]
    """Version, code, worksheet, key, model file."""
    same_shape: str
    """Lengths could not be changed."""
    moved: str
    """Joints were moved by up to `{far}`; the model file `{file}` has the new lengths."""
