"""The code that ties a worksheet to its key: a version's letter, and characters made from the truss itself.

`B-7K2Q`: version B, three characters from the places, members, supports and loads, and one that checks the
rest. Whoever changes the truss changes the code, so that an old sheet is never marked by a newer key.
"""

from __future__ import annotations

import hashlib
import re

from cli.model.file import Model, dumps

__all__ = ["code_of", "is_sheet_code", "letter_of"]

ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""31 characters: none that is read as another (0 and O, 1, I and L), and a prime number of them, so that one
wrong character, or two that changed places, always show."""
LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ"
"""Of versions, for the same reason without I, L and O."""
_FORM = r"(?:[A-Z]{1,2}-)?[2-9A-Z]{4}"
_DRAWN = "".join(character for character in ALPHABET if character not in "AEU")
"""Without vowels, so that no code spells a word in class."""
_DIGITS = 3
"""Characters made from the truss: about 20,000 codes, beside a letter that tells the versions of one set."""


def letter_of(number: int) -> str:
    """Return the letter of a version counted from 0: A to Z without I, L and O, then AA, AB and so on."""
    place, rest = number, ""
    while place >= 0:
        rest = LETTERS[place % len(LETTERS)] + rest
        place = place // len(LETTERS) - 1
    return rest


def code_of(model: Model, letter: str = "") -> str:
    """Return the code of a truss.

    Parameters
    ----------
    model : Model
        Its joints need places in the plane.
    letter : str
        Of its version; none for a worksheet on its own.
    """
    bare = Model(
        units=model.units,
        joints=tuple(joint.model_copy(update=_ONLY_PLACE) for joint in model.joints),
        members=tuple(type(member)(joints=member.joints) for member in model.members),
        supports=tuple(support.model_copy(update={"confidence": None}) for support in model.supports),
        loads=tuple(load.model_copy(update={"confidence": None}) for load in model.loads),
        deck_loads=model.deck_loads,
        self_weight=model.self_weight,
    )
    number = int.from_bytes(hashlib.sha256(dumps(bare).encode()).digest()[:8], "big")
    digits = ""
    for _ in range(_DIGITS):
        number, place = divmod(number, len(_DRAWN))
        digits += _DRAWN[place]
    return (f"{letter}-" if letter else "") + digits + _check(letter + digits)


_ONLY_PLACE = {"px": None, "px_error": None, "confidence": None, "holds": None}


def is_sheet_code(text: str) -> bool:
    """Say whether a code is whole: of the right form, with the right check character."""
    plain = text.replace("-", "")
    return (
        re.fullmatch(_FORM, text) is not None
        and set(plain) <= set(ALPHABET)
        and plain[-1] == _check(plain[:-1])
    )


def _check(characters: str) -> str:
    total = sum(
        place * (ALPHABET.index(character) + 1) for place, character in enumerate(characters, start=2)
    )
    return ALPHABET[-total % len(ALPHABET)]
