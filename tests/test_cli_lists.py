"""Names within a sentence, and words of people in a spreadsheet."""

from __future__ import annotations

import pytest

from cli.lists import listed
from cli.spreadsheets import harmless


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ([], ""),
        (["A"], "A"),
        (["A", "B"], "A and B"),
        (["A", "B", "C"], "A, B and C"),
        (["A", "B", "C", "D"], "A, B, C and 1 more"),
    ],
)
def test_names_are_listed_as_people_say_them(names: list[str], said: str) -> None:
    """One `and`, before the last name or before the count of the rest."""
    assert listed(names, most=3) == said


def test_another_language_has_its_own_words() -> None:
    """Both the word before the last and what stands between the others can be given."""
    assert listed(["A", "B", "C"], last=" oder ", separator="; ") == "A; B oder C"


@pytest.mark.parametrize("words", ["=1+1", "+1", "-1", "@sum", "\t=1", "\r=1"])
def test_a_spreadsheet_works_nothing_out(words: str) -> None:
    """What would begin a formula stands behind an apostrophe; other words stay as they are."""
    assert harmless(words) == f"'{words}"
    assert harmless(f"x{words}") == f"x{words}"
