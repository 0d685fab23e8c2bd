"""What a sheet says of a mark and of a likely slip, in any language."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cli.lists import listed
from cli.marking.columns import item_name
from cli.wording import Wording
from cli.wording.marking_words import SlipWords
from solver import Truss
from solver.marking import Finding, Mark, Slip
from solver.steps import Quantity

__all__ = ["finding_words", "item_words", "name_of", "named", "outcome_words", "slip_words"]

MOST_NAMED = 12
"""Answers that a sentence names before the rest is only counted."""


def named(names: Sequence[str], wording: Wording) -> str:
    """List names within a sentence, the end of a long list as a count."""
    common = wording.common
    if len(names) > MOST_NAMED:
        names = [*names[:MOST_NAMED], common.more.format(count=len(names) - MOST_NAMED)]
    return listed(names, last=common.last, separator=common.separator)


def item_words(quantity: Quantity, truss: Truss, wording: Wording) -> str:
    """Name an answer in a table."""
    if quantity.kind == "angle":
        return wording.marks.angle.format(members="-".join(quantity.joints))
    item = item_name(quantity, truss)
    return wording.marks.items.get(item, item)


def name_of(quantity: Quantity, truss: Truss, wording: Wording) -> str:
    """Name an answer within a sentence."""
    item, words = item_words(quantity, truss, wording), wording.marks
    match quantity.kind:
        case "member":
            return words.member.format(item=item)
        case "reaction":
            return words.reaction.format(item=item)
        case "load":
            return words.load.format(joint=quantity.joints[0])
        case "count":
            return words.count.format(item=item)
        case _:
            return words.other.format(item=item)


def outcome_words(mark: Mark, wording: Wording) -> str:
    """Say what came of an answer, size and sense apart."""
    words = wording.marks
    parts = [words.outcomes[mark.outcome]]
    senses = words.ways if mark.quantity.kind == "reaction" else words.senses
    if mark.sense in senses and not (mark.sense == "followed" == mark.outcome):
        parts.append(senses[mark.sense])
        if mark.outcome == "right":
            parts[0] = words.size_right
    if mark.unit == "wrong":
        parts.append(words.unit_wrong)
    return ", ".join(parts)


def slip_words(slip: Slip, truss: Truss, wording: Wording) -> str:
    """Say what may have happened, as half a sentence: `... in the sums at joint B`."""
    about = "" if slip.quantity is None else name_of(slip.quantity, truss, wording)
    return _SAYS.get(slip.kind, _plainly)(slip, about, wording.slips)


def _plainly(slip: Slip, about: str, words: SlipWords) -> str:
    return words.kinds[slip.kind].format(about=about, other=slip.other, where=_where(slip, words))


def _where(slip: Slip, words: SlipWords) -> str:
    if slip.joint:
        return words.at_joint.format(joint=slip.joint)
    if slip.axis.startswith("@"):
        return words.about_point.format(joint=slip.axis[1:])
    if slip.scope == "whole":
        return words.in_whole.format(way=words.sums.get(slip.axis, "")) if slip.axis else words.in_reactions
    return words.from_start


def _component(slip: Slip, about: str, words: SlipWords) -> str:
    what = words.part.format(way=words.sums[slip.axis], about=about)
    return words.kinds[slip.kind].format(what=what, where=_where(slip, words))


def _load(slip: Slip, about: str, words: SlipWords) -> str:
    in_part = slip.axis in words.sums and slip.scope != "whole"
    what = words.part.format(way=words.sums[slip.axis], about=about) if in_part else about
    return words.kinds[slip.kind].format(what=what, where=_where(slip, words))


def _trig(slip: Slip, about: str, words: SlipWords) -> str:
    everywhere = words.trig_all if slip.scope == "throughout" else ""
    return words.kinds[slip.kind].format(
        which=words.trig_one.format(about=about) if about else everywhere,
        where=_where(slip, words) if slip.joint else "",
        sums=words.trig_sum.format(way=words.sums[slip.axis]) if slip.axis else "",
    )


def _sense(slip: Slip, about: str, words: SlipWords) -> str:
    if slip.quantity is None:
        return words.sense_all
    return (words.sense_one if slip.scope == "written" else words.sense_carried).format(about=about)


def _unit(slip: Slip, about: str, words: SlipWords) -> str:
    factor = slip.factor or 1.0
    size = (words.unit_times if factor >= 1 else words.unit_part).format(
        factor=f"{max(factor, 1 / factor):.4g}"
    )
    what = about or (words.every_member if slip.scope == "members" else words.every_force)
    return words.kinds[slip.kind].format(what=what, size=size)


def _rounding(slip: Slip, _about: str, words: SlipWords) -> str:
    return words.kinds[slip.kind].format(what=words.rounded[slip.other])


_SAYS: dict[str, Callable[[Slip, str, SlipWords], str]] = {
    "sine and cosine": _trig,
    "component left out": _component,
    "component sign": _component,
    "load left out": _load,
    "load sign": _load,
    "load counted twice": _load,
    "sense": _sense,
    "unit": _unit,
    "rounding": _rounding,
}
"""Slips whose sentence has more to fill in than what it is about and where."""


def finding_words(finding: Finding, truss: Truss, wording: Wording) -> str:
    """Say what may have happened; two that fit equally are both named."""
    words = wording.slips
    first, *others = finding.slips
    text = slip_words(first, truss, wording)
    for slip in others:
        if slip.quantity is not None and (slip.kind, slip.scope) == (first.kind, first.scope):
            where = words.same_at.format(joint=slip.joint) if slip.joint != first.joint else ""
            text += words.or_same.format(name=name_of(slip.quantity, truss, wording), where=where)
        else:
            text += words.or_other.format(slip=slip_words(slip, truss, wording))
    return f"{text[:1].upper()}{text[1:]}."
