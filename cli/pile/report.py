"""The report of a pile: a page that stands alone, those that need a look first, and a table of all.

Pages hold everything they show, small pictures included, so that one can be sent on by itself; a large pile
has several. Nothing in them tells when, where or by how many workers they were made: the same pile gives the
same bytes.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path
from urllib.parse import quote

from cli.cautions import CAUTIONS
from cli.page.palette_css import palette_css
from cli.pile.outcome import FILE, NEEDS_LOOK, STATES, TYPED, Outcome
from cli.spreadsheets import harmless

__all__ = ["PER_PAGE", "ReportedSheet", "ordered", "pages", "table"]

PER_PAGE = 500
"""Sheets on one page: about 8 MB, which a telephone still opens."""

SHOWN = 4
"""Sentences on a card before the rest is folded away."""

_STYLE = """
:root { color-scheme: light dark; --ground: #f4f4f1; --card: #ffffff; --text: #1d2429; --pale: #515a60;
  --line: #c9ced1; --look: #8a3d00; }
@media (prefers-color-scheme: dark) { :root { --ground: #14181b; --card: #1b2126; --text: #e8eaeb;
  --pale: #b4bcc1; --line: #454e54; --look: #ffb37a; } }
body { margin: 0 auto; max-width: 76rem; padding: 1rem; background: var(--ground); color: var(--text);
  font: 1rem/1.5 system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif; }
a { color: inherit; }
a:focus-visible { outline: 3px solid currentColor; outline-offset: 2px; }
table { border-collapse: collapse; }
caption { text-align: left; font-weight: 600; padding-bottom: 0.3rem; }
th, td { text-align: left; padding: 0.2rem 1.2rem 0.2rem 0; border-bottom: 1px solid var(--line); }
td.count { text-align: right; font-variant-numeric: tabular-nums; }
ul.sheets { list-style: none; padding: 0; display: grid; gap: 0.8rem;
  grid-template-columns: repeat(auto-fill, minmax(min(100%, 19rem), 1fr)); }
ul.sheets > li { background: var(--card); border: 1px solid var(--line); border-radius: 4px;
  padding: 0.8rem; }
ul.sheets > li.look { border-left: 6px solid var(--look); }
h3 { margin: 0 0 0.4rem; font-size: 1rem; overflow-wrap: anywhere; }
img { display: block; max-width: 100%; height: auto; background: #fff; }
p { margin: 0.4rem 0 0; overflow-wrap: anywhere; white-space: pre-line; }
summary { cursor: pointer; margin-top: 0.4rem; }
p.state { font-weight: 600; }
.look p.state, p.doubt { color: var(--look); }
footer { margin-top: 2rem; color: var(--pale); font-size: 0.9rem; }
@media print { body { max-width: none; } ul.sheets > li { break-inside: avoid; } }
"""


@dataclass(frozen=True)
class ReportedSheet:
    """A sheet in the report, without its small picture."""

    name: str
    """As shown: the pseudonym where there is one."""
    outcome: Outcome
    drawing: str | None
    """Where its large picture is, as seen from the report."""
    folder: str | None = None
    """Where the marks and feedback sheets of a file of answers are, as seen from the report."""
    typed: str = "PHOTO"
    """The photograph in a command, as a shell takes it; a word in its place where a pseudonym is shown."""

    @property
    def says(self) -> tuple[str, ...]:
        """The sentences about it, its name put in."""
        return tuple(self._told(text) for text in self.outcome.says)

    @property
    def doubts(self) -> tuple[str, ...]:
        """What to look at, its name put in."""
        return tuple(self._told(text) for text in self.outcome.doubts)

    def _told(self, text: str) -> str:
        return text.replace(FILE, self.name).replace(TYPED, self.typed)


def ordered(entries: Sequence[ReportedSheet]) -> list[ReportedSheet]:
    """Return the sheets in the order of the report: those that need a look first, the worst on top."""

    def rank(entry: ReportedSheet) -> tuple[int, str]:
        outcome = entry.outcome
        if outcome.state in NEEDS_LOOK:
            return NEEDS_LOOK.index(outcome.state), entry.name
        return len(NEEDS_LOOK) + (0 if outcome.needs_look else 1), entry.name

    return sorted(entries, key=rank)


def pages(
    entries: Sequence[ReportedSheet],
    *,
    title: str,
    notes: Sequence[str],
    thumbnail: Callable[[ReportedSheet], Outcome],
    file_name: str,
) -> Iterator[tuple[str, bytes]]:
    """Yield name and bytes of every page of the report.

    Parameters
    ----------
    entries
        All sheets, in the order of the report.
    title
        Of the pile.
    notes
        Sentences about the whole pile.
    thumbnail
        Gives the outcome of a sheet with its small picture, when its page is written.
    file_name
        Of the first page.
    """
    count = max(1, -(-len(entries) // PER_PAGE))
    names = [file_name] + [
        f"{Path(file_name).stem}-{number}{Path(file_name).suffix}" for number in range(2, count + 1)
    ]
    for number, name in enumerate(names):
        part = entries[number * PER_PAGE : (number + 1) * PER_PAGE]
        cards = [_card(entry, thumbnail(entry)) for entry in part]
        body = [
            f"<h1>{escape(title)}</h1>",
            _summary(entries, notes) if number == 0 else "",
            _steps(names, number),
            *_sections(part, cards),
            _steps(names, number),
        ]
        yield name, _page(title, count, number, body).encode()


def _page(title: str, count: int, number: int, body: Sequence[str]) -> str:
    where = f", page {number + 1} of {count}" if count > 1 else ""
    cautions = "".join(f"<p>{escape(caution)}</p>" for caution in CAUTIONS)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; img-src data:; '
        "style-src 'unsafe-inline'\">\n"
        f"<title>{escape(title + where)}</title>\n<style>{palette_css()}{_STYLE}</style>\n</head>\n<body>\n"
        "<main>\n" + "\n".join(part for part in body if part) + f"\n</main>\n<footer>{cautions}</footer>\n"
        "</body>\n</html>\n"
    )


def _summary(entries: Sequence[ReportedSheet], notes: Sequence[str]) -> str:
    states = [state for state in STATES if any(entry.outcome.state == state for entry in entries)]
    rows = "".join(
        f'<tr><th scope="row">{escape(STATES[state])}</th>'
        f'<td class="count">{sum(entry.outcome.state == state for entry in entries)}</td></tr>'
        for state in states
    )
    look = sum(entry.outcome.needs_look for entry in entries)
    said = "".join(f"<p>{escape(note)}</p>" for note in notes)
    return (
        f"<table><caption>{len(entries)} sheets, {look} of them need a look</caption>"
        '<thead><tr><th scope="col">What came of them</th><th scope="col">Sheets</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>{said}"
    )


def _steps(names: Sequence[str], here: int) -> str:
    if len(names) == 1:
        return ""
    links = " ".join(
        f'<a href="{quote(name)}"{" aria-current=page" if number == here else ""}>{number + 1}</a>'
        for number, name in enumerate(names)
    )
    return f'<nav aria-label="Pages of the report">Pages: {links}</nav>'


def _sections(part: Sequence[ReportedSheet], cards: Sequence[str]) -> Iterator[str]:
    """Write the cards under two headings; a heading without cards is left out."""
    for heading, wanted in (("Need a look", True), ("In order", False)):
        chosen = [card for entry, card in zip(part, cards, strict=True) if entry.outcome.needs_look == wanted]
        if chosen:
            yield f'<h2>{heading}</h2>\n<ul class="sheets">\n' + "\n".join(chosen) + "\n</ul>"


def _card(entry: ReportedSheet, full: Outcome) -> str:
    outcome = entry.outcome
    picture = ""
    if full.thumbnail is not None and full.thumbnail_size is not None:
        across, down = full.thumbnail_size
        picture = (
            f'<img src="data:image/jpeg;base64,{full.thumbnail}" alt="{escape(full.alt)}" width="{across}" '
            f'height="{down}" loading="lazy">'
        )
        if entry.drawing is not None:
            picture = f'<a href="{quote(entry.drawing)}">{picture}</a>'
    said = "".join(f"<p>{escape(text)}</p>" for text in entry.says[:SHOWN])
    if len(entry.says) > SHOWN:
        rest = "".join(f"<p>{escape(text)}</p>" for text in entry.says[SHOWN:])
        said += f"<details><summary>{len(entry.says) - SHOWN} more</summary>{rest}</details>"
    if entry.folder is not None:
        said += f'<p><a href="{quote(entry.folder)}/">Marks and feedback sheets</a></p>'
    doubts = "".join(f'<p class="doubt">Look: {escape(text)}</p>' for text in entry.doubts)
    mark = ' class="look"' if outcome.needs_look else ""
    return (
        f"<li{mark}><h3>{escape(entry.name)}</h3>{picture}"
        f'<p class="state">{escape(STATES[outcome.state])}</p>{said}{doubts}</li>'
    )


def table(entries: Sequence[ReportedSheet]) -> bytes:
    """Return the table of all sheets as CSV (RFC 4180), UTF-8, in the order given."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["sheet", "result", "needs a look", "joints", "members", "remarks"])
    for entry in entries:
        outcome = entry.outcome
        writer.writerow(
            [
                harmless(entry.name),
                STATES[outcome.state],
                "yes" if outcome.needs_look else "no",
                "" if outcome.joints is None else outcome.joints,
                "" if outcome.members is None else outcome.members,
                harmless(" ".join((*entry.doubts, *entry.says)).replace("\n", " ")),
            ]
        )
    return text.getvalue().encode()
