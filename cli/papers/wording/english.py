"""Plain classroom English."""

from __future__ import annotations

from cli.cautions import CAUTIONS
from cli.papers.wording.words import CommonWords, Wording

__all__ = ["ENGLISH"]

ENGLISH = Wording(
    language="en",
    decimal=".",
    page="Page {page} of {pages}",
    common=CommonWords(
        tension="tension",
        compression="compression",
        zero="zero-force",
        unsure="sign not certain",
        member="Member",
        joint="Joint",
        force="Force",
        reaction="Reaction",
        load="Load",
        support="Support",
        pin="pin",
        roller="roller",
        caution_head="Please note",
        cautions=CAUTIONS,
    ),
)
