"""The summary of a class: spread of marks, hard items, likely slips, what to teach again tomorrow."""

from __future__ import annotations

from collections.abc import Iterator

from cli.cautions import CAUTIONS
from cli.lists import listed
from cli.marking.columns import item_name
from cli.marking.feedback import CAUTION_HEAD
from cli.marking.key import Key
from cli.marking.statistics import FEWEST, ClassFigures, Idea, Item
from cli.marking.words import IDEAS
from cli.papers.content import Block, Bullets, Caution, Document, Heading, Paragraph, Table, Title
from cli.sheets.numerals import MINUS

__all__ = ["class_sheet", "teach_again"]

_BINS = 10
_TAUGHT = 3
"""Things that a class can take in on one day."""
_HARD = 0.6
"""Share of credit below which an item is called hard."""


def class_sheet(key: Key, figures: ClassFigures, *, pseudonymous: bool) -> Document:
    """Make the summary of a class.

    Parameters
    ----------
    key
        The truss that was set.
    figures
        What the class did.
    pseudonymous
        Whether no names stand anywhere in this folder.
    """
    papers = len(figures.shares)
    below = f"{papers} paper{'s' if papers != 1 else ''}" + (", names replaced" if pseudonymous else "")
    blocks = (
        Title(f"{key.title}: the class", below),
        *_tomorrow(key, figures),
        *_spread(figures),
        *_ideas(figures),
        *_items(key, figures),
        Caution(CAUTION_HEAD, CAUTIONS),
    )
    return Document(f"{key.title}: summary of the class", blocks, foot=f"{key.title} · summary of the class")


def teach_again(key: Key, figures: ClassFigures) -> tuple[str, ...]:
    """Say what to teach again tomorrow, most needed first."""
    papers = len(figures.shares)
    found = [
        (idea.papers, _idea_sentence(idea, papers)) for idea in figures.ideas if idea.papers > 1 or papers < 3
    ]
    for item in figures.items:
        missed = item.wrong + item.blank
        if missed > 1 and item.difficulty < _HARD:
            name = item_name(item.quantity, key.truss)
            found.append(
                (missed, f"{name}: missed in {missed} of {item.papers} papers without an earlier slip.")
            )
    return tuple(sentence for _, sentence in sorted(found, key=lambda pair: -pair[0])[:_TAUGHT])


def _idea_sentence(idea: Idea, papers: int) -> str:
    text = IDEAS[idea.kind]
    where = f", most often at {listed([joint for joint, _ in idea.places[:2]])}" if idea.places else ""
    return f"{text[:1].upper()}{text[1:]}: likely in {idea.papers} of {papers} papers{where}."


def _tomorrow(key: Key, figures: ClassFigures) -> Iterator[Block]:
    yield Heading("To teach again tomorrow")
    points = teach_again(key, figures)
    if points:
        yield Bullets(points, numbered=True)
    else:
        yield Paragraph("Nothing that more than one paper shows.")
    if figures.waiting:
        have = "papers have" if figures.waiting != 1 else "paper has"
        yield Paragraph(
            f"{figures.waiting} {have} an answer that could not be read: it is listed in marks.json and "
            "counts neither way until you have read it."
        )


def _spread(figures: ClassFigures) -> Iterator[Block]:
    low, lower, middle, upper, high = (f"{100 * share:.0f} %" for share in figures.quartiles())
    yield Heading("Marks")
    yield Table(
        ("Lowest", "Lower quartile", "Middle", "Upper quartile", "Highest", "Mean", "Standard deviation"),
        ((low, lower, middle, upper, high, f"{100 * figures.mean:.0f} %", f"{100 * figures.spread:.0f} %"),),
        "rrrrrrr",
        name="spread",
    )
    counts = [0] * _BINS
    for share in figures.shares:
        counts[min(int(share * _BINS + 1e-9), _BINS - 1)] += 1
    head = tuple(f"{100 * n // _BINS}–{100 * (n + 1) // _BINS}" for n in range(_BINS))
    yield Table(
        head,
        (tuple(str(count) for count in counts),),
        "c" * _BINS,
        caption="Papers by per cent of the credit.",
        name="histogram",
    )


def _ideas(figures: ClassFigures) -> Iterator[Block]:
    yield Heading("Likely slips")
    if figures.ideas:
        rows = tuple(
            (
                IDEAS[idea.kind],
                str(idea.papers),
                listed([f"{joint} ({n})" for joint, n in idea.places]) or "–",
            )
            for idea in figures.ideas
        )
        yield Table(("What", "Papers", "Joint (how often)"), rows, "lrl", name="slips")
        yield Paragraph(
            "Each is a guess from numbers alone, made only where it fits clearly better than others."
        )
    if figures.unexplained:
        count = figures.unexplained
        yield Paragraph(
            f"{count} paper{'s' if count != 1 else ''} with a wrong answer that no usual slip explains."
        )
    elif not figures.ideas:
        yield Paragraph("None was found.")


def _items(key: Key, figures: ClassFigures) -> Iterator[Block]:
    yield Heading("Answers")
    rows = tuple(_item_row(key, item) for item in sorted(figures.items, key=lambda item: item.difficulty))
    heads = ("Answer", "Right", "Followed", "Wrong", "Blank", "T/C wrong", "Credit", "Discrimination")
    yield Table(heads, rows, "lrrrrrrr", name="items")
    yield Paragraph(
        "Hardest first. “Followed” is right on the student's own numbers. Credit is the mean share "
        "(difficulty). Discrimination is the correlation with the rest of the paper: near 0 or below, look "
        f"at the question. It is not given for fewer than {FEWEST} papers, or where all did the same."
    )


def _item_row(key: Key, item: Item) -> tuple[str, ...]:
    told = item.quantity.kind in {"member", "reaction"}
    correlation = "–" if item.discrimination is None else f"{item.discrimination:.2f}".replace("-", MINUS)
    return (
        item_name(item.quantity, key.truss),
        str(item.right),
        str(item.followed),
        str(item.wrong),
        str(item.blank),
        str(item.sense_wrong) if told else "",
        f"{100 * item.difficulty:.0f} %",
        correlation,
    )
