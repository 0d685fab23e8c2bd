"""Schlichtes Deutsch für den Unterricht."""

from __future__ import annotations

from cli.papers.wording.words import CommonWords, Wording

__all__ = ["GERMAN"]

_CAUTIONS = tuple(
    """\
Ideales ebenes Fachwerk mit Gelenken, Lasten nur in den Knoten, gerade gewichtslose Stäbe, solange das \
Eigengewicht nicht eingeschaltet ist; keine Biegung, kein Versagen der Knoten, solange es nicht angegeben ist.
Nur für Unterricht und Modellbau. Nichts hier bemisst oder genehmigt ein Bauwerk, das Menschen, Fahrzeuge \
oder Güter trägt: Dafür braucht es eine zugelassene Fachperson und die örtlichen Vorschriften.
Wer ein Modell bis zum Bruch prüft, muss mit Splittern und fallenden Gewichten rechnen: Schutzbrille, \
Schutzscheibe, Füße weg.
""".splitlines()
)

GERMAN = Wording(
    language="de",
    decimal=",",
    page="Seite {page} von {pages}",
    common=CommonWords(
        tension="Zug",
        compression="Druck",
        zero="Nullstab",
        unsure="Vorzeichen nicht sicher",
        member="Stab",
        joint="Knoten",
        force="Kraft",
        reaction="Auflagerkraft",
        load="Last",
        support="Auflager",
        pin="festes Lager",
        roller="loses Lager",
        caution_head="Bitte beachten",
        cautions=_CAUTIONS,
    ),
)
