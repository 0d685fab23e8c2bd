"""The summary of a class: spread of marks, hard items, likely slips, what to teach again tomorrow."""

from __future__ import annotations

from collections.abc import Iterator

from cli.marking.key import Key
from cli.marking.statistics import FEWEST, ClassFigures, Idea, Item
from cli.marking.words import item_words, named
from cli.papers.content import Block, Bullets, Caution, Document, Heading, Paragraph, Table, Title
from cli.sheets.numerals import MINUS
from cli.wording import Wording

__all__ = ["class_sheet", "teach_again"]

_BINS = 10
_TAUGHT = 3
"""Things that a class can take in on one day."""
_HARD = 0.6
"""Share of credit below which an item is called hard."""


def class_sheet(key: Key, figures: ClassFigures, *, wording: Wording, pseudonymous: bool) -> Document:
    """Make the summary of a class.

    Parameters
    ----------
    key
        The truss that was set.
    figures
        What the class did.
    wording
        Of its language.
    pseudonymous
        Whether no names stand anywhere in this folder.
    """
    words = wording.summary
    title = key.model.title or wording.feedback.untitled
    papers = len(figures.shares)
    below = _counted(papers, words.one_paper, words.several_papers)
    blocks = (
        Title(words.title.format(title=title), below + (words.names_replaced if pseudonymous else "")),
        *_tomorrow(key, figures, wording),
        *_spread(figures, wording),
        *_ideas(figures, wording),
        *_items(key, figures, wording),
        Caution(wording.common.caution_head, wording.common.cautions),
    )
    return Document(f"{title}: {words.kind}", blocks, wording.language, f"{title} · {words.kind}")


def teach_again(key: Key, figures: ClassFigures, wording: Wording) -> tuple[str, ...]:
    """Say what to teach again tomorrow, most needed first."""
    papers = len(figures.shares)
    found = [
        (idea.papers, _idea_sentence(idea, papers, wording))
        for idea in figures.ideas
        if idea.papers > 1 or papers < 3
    ]
    for item in figures.items:
        missed = item.wrong + item.blank
        if missed > 1 and item.difficulty < _HARD:
            name = item_words(item.quantity, key.truss, wording)
            said = wording.summary.tomorrow_item.format(item=name, missed=missed, papers=item.papers)
            found.append((missed, said))
    return tuple(sentence for _, sentence in sorted(found, key=lambda pair: -pair[0])[:_TAUGHT])


def _counted(count: int, one: str, several: str) -> str:
    return (one if count == 1 else several).format(count=count)


def _idea_sentence(idea: Idea, papers: int, wording: Wording) -> str:
    words, text = wording.summary, wording.marks.ideas[idea.kind]
    joints = [joint for joint, _ in idea.places[:2]]
    where = words.most_often.format(joints=named(joints, wording)) if joints else ""
    return words.tomorrow_idea.format(
        idea=f"{text[:1].upper()}{text[1:]}", count=idea.papers, papers=papers, where=where
    )


def _tomorrow(key: Key, figures: ClassFigures, wording: Wording) -> Iterator[Block]:
    words = wording.summary
    yield Heading(words.tomorrow)
    points = teach_again(key, figures, wording)
    yield Bullets(points, numbered=True) if points else Paragraph(words.nothing)
    if figures.waiting:
        yield Paragraph(_counted(figures.waiting, words.one_unread, words.several_unread))


def _spread(figures: ClassFigures, wording: Wording) -> Iterator[Block]:
    words = wording.summary
    row = tuple(f"{100 * share:.0f} %" for share in (*figures.quartiles(), figures.mean, figures.spread))
    yield Heading(words.marks)
    yield Table(words.marks_heads, (row,), "rrrrrrr", name="spread")
    counts = [0] * _BINS
    for share in figures.shares:
        counts[min(int(share * _BINS + 1e-9), _BINS - 1)] += 1
    head = tuple(f"{100 * n // _BINS}–{100 * (n + 1) // _BINS}" for n in range(_BINS))
    yield Table(
        head,
        (tuple(str(count) for count in counts),),
        "c" * _BINS,
        caption=words.histogram,
        name="histogram",
    )


def _ideas(figures: ClassFigures, wording: Wording) -> Iterator[Block]:
    words = wording.summary
    yield Heading(words.slips)
    if figures.ideas:
        rows = tuple(
            (
                wording.marks.ideas[idea.kind],
                str(idea.papers),
                named([f"{joint} ({n})" for joint, n in idea.places], wording) or "–",
            )
            for idea in figures.ideas
        )
        yield Table(words.slips_heads, rows, "lrl", name="slips")
        yield Paragraph(words.slips_text)
    if figures.unexplained:
        yield Paragraph(_counted(figures.unexplained, words.one_unexplained, words.several_unexplained))
    elif not figures.ideas:
        yield Paragraph(words.none_found)


def _items(key: Key, figures: ClassFigures, wording: Wording) -> Iterator[Block]:
    words = wording.summary
    yield Heading(words.items)
    hardest_first = sorted(figures.items, key=lambda item: item.difficulty)
    rows = tuple(_item_row(key, item, wording) for item in hardest_first)
    yield Table(words.items_heads, rows, "lrrrrrrr", name="items")
    yield Paragraph(words.items_text.format(fewest=FEWEST))


def _item_row(key: Key, item: Item, wording: Wording) -> tuple[str, ...]:
    told = item.quantity.kind in {"member", "reaction"}
    correlation = (
        "–"
        if item.discrimination is None
        else f"{item.discrimination:.2f}".replace("-", MINUS).replace(".", wording.decimal)
    )
    return (
        item_words(item.quantity, key.truss, wording),
        str(item.right),
        str(item.followed),
        str(item.wrong),
        str(item.blank),
        str(item.sense_wrong) if told else "",
        f"{100 * item.difficulty:.0f} %",
        correlation,
    )
