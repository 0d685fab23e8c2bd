"""The cautions that every sheet, page and README carries: the one place where they are worded."""

from __future__ import annotations

__all__ = ["CAUTIONS", "caution_text"]

CAUTIONS: tuple[str, ...] = tuple(
    """\
Ideal pin-jointed planar truss, loads at joints, straight weightless members unless self-weight is on; no \
bending, no joint failure unless entered.
Teaching and model-building only. Nothing here designs or approves a structure that carries people, vehicles \
or goods: that needs a licensed engineer and the local code.
Testing a model to failure throws splinters and drops weights: eye protection, a screen, feet clear.
""".splitlines()
)
"""What is assumed; what it is for; safety when testing."""


def caution_text() -> str:
    """Return all cautions as one paragraph."""
    return " ".join(CAUTIONS)
