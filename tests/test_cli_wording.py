"""The words of the sheets: every language says everything, with the same holes to fill."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from cli.report import count_text
from cli.stability_words import no_answer_words
from cli.wording import ENGLISH, LANGUAGES
from solver import Joint, Load, Member, Support, Truss, assess

OTHERS = sorted(set(LANGUAGES) - {"en"})


def sentences(words: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Go through every sentence of a wording, each with the path to it."""
    if isinstance(words, str):
        yield path, words
    elif isinstance(words, Mapping):
        for key, value in words.items():
            yield from sentences(value, f"{path}[{key}]")
    elif isinstance(words, tuple):
        for row, value in enumerate(words):
            yield from sentences(value, f"{path}[{row}]")
    else:
        for field in dataclasses.fields(words):
            yield from sentences(getattr(words, field.name), f"{path}.{field.name}")


def holes(sentence: str) -> list[str]:
    """Return the names to fill in."""
    return sorted(re.findall(r"\{(\w+)\}", sentence))


@pytest.mark.parametrize("language", OTHERS)
def test_every_language_says_everything(language: str) -> None:
    """Same fields, same keys, same number of sentences, same holes; and nothing is empty."""
    english, other = dict(sentences(ENGLISH)), dict(sentences(LANGUAGES[language]))
    assert english.keys() == other.keys()
    for path, sentence in english.items():
        assert holes(sentence) == holes(other[path]), path
        assert other[path].strip(), path


@pytest.mark.parametrize("language", OTHERS)
def test_no_sentence_is_left_in_english(language: str) -> None:
    """What has words in it, more than one or two, differs."""
    english, other = dict(sentences(ENGLISH)), dict(sentences(LANGUAGES[language]))
    same = [
        path
        for path, sentence in english.items()
        if len(re.findall("[a-z]{4}", re.sub(r"{\w+}", "", sentence))) > 1 and other[path] == sentence
    ]
    assert same == []


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_reasons_in_every_language(language: str) -> None:
    """A panel without a diagonal is told by its name, with the cure, and no hole stays open."""
    truss = Truss(
        tuple(
            Joint(name, float(x), float(y))
            for name, (x, y) in zip("ABCD", [(0, 0), (4, 0), (4, 3), (0, 3)], strict=True)
        ),
        (Member("A", "B"), Member("B", "C"), Member("C", "D"), Member("A", "D")),
        (Support("A", "pin"), Support("B", "roller")),
        (Load("C", 1.0, 0.0),),
    )
    stability = assess(truss)
    words = no_answer_words(stability, LANGUAGES[language])
    assert "A B C D" in words
    assert LANGUAGES[language].stability.put_diagonal in words
    assert not holes(words)
    assert "Unstable" in count_text(stability)
