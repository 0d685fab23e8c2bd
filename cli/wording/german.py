"""Schlichtes Deutsch für den Unterricht."""

from __future__ import annotations

from cli.sheets.words import SheetWords
from cli.wording import german_marking
from cli.wording.words import CommonWords, HandoutWords, StabilityWords, Wording, WorkedWords
from cli.wording.worksheet_words import WorksheetWords

__all__ = ["GERMAN"]

_LEGEND = SheetWords(
    tension="Zug",
    compression="Druck",
    zero="Nullstab",
    unsure="Vorzeichen nicht sicher",
    load="Last",
    reaction="Auflagerkraft",
    width_scale="Breite zeigt die Kraft in {unit}",
    use_scale="wie viel der Tragkraft genutzt ist",
    first="gibt zuerst nach",
    move="den Knoten so verschieben, um je Gramm mehr zu tragen",
)

_COMMON = CommonWords(
    tension="Zug",
    compression="Druck",
    zero="Nullstab",
    unsure="Vorzeichen nicht sicher",
    member="Stab",
    joint="Knoten",
    force="Kraft",
    force_in="Kraft in {unit}",
    length_in="Länge in {unit}",
    sense="T oder C",
    support="Auflager",
    pin="fest",
    roller="verschieblich",
    right_in="Nach rechts in {unit}",
    up_in="Nach oben in {unit}",
    error="±",
    separator=", ",
    last=" und ",
    more="{count} weitere",
    caution_head="Bitte beachten",
    cautions=tuple(
        """\
Ideales ebenes Fachwerk mit Gelenken, Lasten nur in den Knoten, gerade gewichtslose Stäbe, solange das \
Eigengewicht nicht eingeschaltet ist; keine Biegung, kein Versagen der Knoten, solange es nicht angegeben ist.
Nur für Unterricht und Modellbau. Nichts hier bemisst oder genehmigt ein Bauwerk, das Menschen, Fahrzeuge \
oder Güter trägt: Dafür braucht es eine zugelassene Fachperson und die örtlichen Vorschriften.
Wer ein Modell bis zum Bruch prüft, muss mit Splittern und fallenden Gewichten rechnen: Schutzbrille, \
Schutzscheibe, Füße weg.
""".splitlines()
    ),
)

_STABILITY = StabilityWords(
    moves="Das Fachwerk kann sich noch bewegen.",
    moves_in_ways="Das Fachwerk kann sich noch auf {ways} Arten bewegen.",
    whole_slides_sideways="Das ganze Fachwerk rutscht seitwärts: Seine Auflager halten es nicht.",
    whole_slides_up="Das ganze Fachwerk rutscht auf und ab: Seine Auflager halten es nicht.",
    whole_slides_at_a_slant="Das ganze Fachwerk rutscht schräg: Seine Auflager halten es nicht.",
    whole_turns="Das ganze Fachwerk dreht sich: Seine Auflager halten es nicht.",
    panel_racks="Das Feld {panels} kann sich zur Raute verschieben.",
    panels_rack="Die Felder {panels} können sich zur Raute verschieben.",
    joint_moves="Knoten {joints} bewegt sich.",
    joints_move="Die Knoten {joints} bewegen sich.",
    count_hides_it="Abzählen allein zeigt es nicht: Stäbe oder Auflager sind nicht dort, wo sie gebraucht werden.",
    add_support="Ein Auflager fehlt: Meist hält ein festes das eine Ende und ein verschiebliches das andere.",
    rollers_in_line=(
        "Alle verschieblichen Auflager drücken in einer Richtung: eines davon drehen oder durch ein festes ersetzen."
    ),
    through_one_point="Alle Auflager drücken durch einen Punkt: eines davon drehen oder versetzen.",
    put_diagonal="Eine Diagonale einsetzen.",
    put_diagonals="In jedes solche Feld eine Diagonale einsetzen.",
    add_member="Einen Stab oder ein Auflager hinzufügen, wo es sich bewegt.",
    indeterminate=(
        "Das Fachwerk ist {degree}-fach statisch unbestimmt: Es hat {more} mehr, als das Gleichgewicht braucht; "
        "Gleichgewicht allein findet die Kräfte nicht."
    ),
    indeterminate_elsewhere=(
        "Das Fachwerk ist an anderer Stelle {degree}-fach statisch unbestimmt: Es hat {more} mehr, als das "
        "Gleichgewicht braucht; Gleichgewicht allein findet die Kräfte nicht."
    ),
    one_more="einen Stab oder eine Auflagerkraft",
    several_more="{degree} Stäbe oder Auflagerkräfte",
    shared_by="Diese Kräfte teilen sich: {sharing}.",
    one_member="Stab {names}",
    several_members="die Stäbe {names}",
    one_support="das Auflager bei {names}",
    several_supports="die Auflager bei {names}",
    take_one="Eines davon wegnehmen.",
    take_several="Davon {degree} wegnehmen.",
    one_or_roller="Eines davon wegnehmen oder ein festes Auflager verschieblich machen.",
    several_or_roller="Davon {degree} wegnehmen oder ein festes Auflager verschieblich machen.",
)

_WORKED = WorkedWords(
    kind="Rechenweg",
    untitled="Fachwerk",
    picture="Das Bild",
    picture_alt="Das Foto, darüber das erkannte Fachwerk und an jedem Knoten sein Name.",
    picture_caption="Was aus {file} gelesen wurde: Stäbe in Blau, an jedem Knoten sein Name.",
    truss="Das Fachwerk",
    truss_alt=(
        "Das Fachwerk im Maßstab mit {joints} Knoten und {members} Stäben, ihren Namen, Auflagern, Lasten und Maßen."
    ),
    truss_caption="Im Maßstab gezeichnet. Längen in {length}, Lasten in {force}.",
    assumptions="Was angenommen wird",
    assumed=(
        "Jeder Knoten ist ein Gelenk ohne Reibung. Lasten und Auflager greifen nur in Knoten an.",
        "Die Kräfte sind an der gezeichneten Form im Gleichgewicht: Nichts dehnt sich oder hängt durch.",
    ),
    weightless="Die Stäbe sind gerade und wiegen nichts.",
    with_weight="Die Stäbe sind gerade. Das halbe Gewicht eines jeden wirkt an jedem seiner Enden.",
    signs=(
        "Rechts, oben und gegen den Uhrzeigersinn sind positiv. Eine unbekannte Stabkraft wird als Zug (T) "
        "gezeichnet, vom Knoten weg; ein Minus im Ergebnis bedeutet Druck (C)."
    ),
    rounding=(
        "Zahlen in Gleichungen sind in {force} und {length}. Kräfte stehen mit {figures} Ziffern da; dahinter "
        "wird mit mehr Ziffern gerechnet."
    ),
    count="Löst es das Gleichgewicht allein?",
    count_text=(
        "Unbekannt sind {m} Stabkräfte und {r} Auflagerkräfte. Jeder der {j} Knoten gibt zwei Gleichungen."
    ),
    determinate=(
        "Es gibt so viele Unbekannte wie Gleichungen, und der Rang der Gleichungen sagt, dass keine eine andere "
        "wiederholt: Das Fachwerk ist statisch bestimmt."
    ),
    run="Breite",
    rise="Höhe",
    slopes="Winkel aus Höhe und Breite",
    slopes_text="Breite und Höhe liest man aus der Zeichnung ab. Daraus folgen Länge, Kosinus, Sinus und Winkel:",
    slope_heads=("Stäbe", "Breite in {unit}", "Höhe in {unit}", "Länge in {unit}"),
    loads="Lasten auf die Knoten gebracht",
    loads_text="Ein Fachwerk nimmt Lasten nur in Knoten auf; deshalb kommt jede Last zuerst dorthin.",
    load_heads=("Knoten", "Rechts in {unit}", "Oben in {unit}", "Grund"),
    deck_share="{length} {unit} der Fahrbahn {where} gehören zu ihm",
    weight_share="halbes Gewicht von Stab {where}, {whole} {unit} lang",
    lever_share="Anteil {length}/{whole} der Last auf Stab {where}",
    lever_note="Die Biegung eines Stabes, der zwischen seinen Knoten belastet ist, ist nicht erfasst.",
    reactions="Auflagerkräfte",
    reactions_text=(
        "Man nimmt die Auflager weg und setzt ihre Kräfte an ihre Stelle. Dann ist das ganze Fachwerk im Gleichgewicht."
    ),
    whole_alt="Freikörperbild des ganzen Fachwerks: unbekannte Kräfte statt der Auflager.",
    part_text="Der Teil mit den Knoten {joints} hängt am Rest in Knoten {hinge}. Momente um {hinge}:",
    sum_text="Alle Kräfte {way}:",
    ways={"x": "nach rechts", "y": "nach oben"},
    moment_text="Momente um Knoten {joint}:",
    reactions_left="Das Gleichgewicht des Ganzen gibt {names} nicht. Die Knoten geben sie später.",
    zero_members="Nullstäbe",
    zero_text="Diese Stäbe tragen nichts. Man sieht es, ohne zu rechnen:",
    zero_rules={
        "two members": (
            "Knoten {joint} ist unbelastet und verbindet nur diese beiden, die nicht in einer Linie liegen"
        ),
        "one member": "Knoten {joint} ist unbelastet und verbindet sonst nichts",
        "three forces": "Knoten {joint} ist unbelastet, und die anderen Stäbe dort liegen in einer Linie",
        "load along one member": "alle anderen Kräfte in Knoten {joint} liegen in einer Linie",
    },
    zero_line="{members}: {rule}.",
    joints="Knoten für Knoten",
    joints_text=(
        "Jeder Knoten ist für sich im Gleichgewicht. Man geht dorthin, wo höchstens zwei Kräfte unbekannt sind: Zwei "
        "Gleichungen finden sie."
    ),
    joint_head="Knoten {joint}",
    joint_alt="Freikörperbild von Knoten {joint} in den Richtungen des Fachwerks: {forces}.",
    together="Die beiden Gleichungen werden zusammen gelöst:",
    together_all="Zusammen geben sie:",
    must_hold="eine Probe: Sie stimmt",
    section_head="Schnitt durch {members}",
    section_alt="Das Fachwerk, geschnitten durch {members}, der Teil {joints} als Freikörper.",
    section_text=(
        "Kein Knoten hat nur noch zwei unbekannte Kräfte. Also schneidet man das Fachwerk durch {members} und "
        "betrachtet den Teil mit den Knoten {joints}."
    ),
    section_moment="Momente um {centre}, wo sich die Linien der anderen unbekannten Kräfte treffen:",
    section_along="Alle Kräfte quer zu den anderen unbekannten Kräften, die parallel sind:",
    section_across="Alle Kräfte {way}:",
    block_head="Knoten zusammen gelöst",
    block_text=(
        "Kein Knoten hat zwei Unbekannte, und kein Schnitt trifft wenige genug. Die Gleichungen der Knoten {joints} "
        "werden zusammen gelöst: {equations} Gleichungen mit {unknowns} Unbekannten."
    ),
    members="Auflagerkräfte und Stabkräfte",
    members_caption="Stabkräfte in {unit}; Zug ist positiv.",
    reactions_caption="Auflagerkräfte: Kraft jedes Auflagers auf das Fachwerk.",
    forces="Die Kräfte in einem Bild",
    forces_alt=(
        "Das Fachwerk mit der Kraft an jedem Stab; Zug, Druck und Nullstäbe unterscheiden sich in Farbe, Strichelung "
        "und Buchstaben."
    ),
    forces_caption="Je breiter die Linie, desto größer die Kraft.",
    forces_in_table="Zu klein für die Zahlen: Sie stehen in der Tabelle.",
    overlay_alt="Das Foto mit der Kraft an jedem Stab.",
    overlay_caption="Auf dem Foto: je breiter die Linie, desto größer die Kraft.",
    checks="Proben",
    check_whole="Lasten und Auflagerkräfte des ganzen Fachwerks sind im Gleichgewicht:",
    check_joint="In Knoten {joint} wurde jede Kraft anderswo gefunden. Auch dort muss es stimmen:",
    check_sections=(
        "{count} von {members} Stabkräften wurden durch einen Schnitt mit je einer eigenen Gleichung noch einmal "
        "gefunden; {agree} stimmen überein."
    ),
    residual="Mit allen Ziffern gerechnet fehlt keinem Knoten mehr als {lacking} der größten Last.",
    sure="Wie sicher ist es?",
    sure_exact="Die Orte der Knoten waren gegeben; die Kräfte folgen daraus ohne Fehler.",
    sure_written="Die angegebenen Längen legen die Form des Fachwerks fest; das Ablesen der Knoten aus dem Bild verändert keine Kraft. Von einer falschen Länge ist nichts bekannt.",
    sure_picked=(
        "Die Knoten wurden aus einem Bild abgelesen. Das verändert jede Kraft um etwa das ± der Tabelle (ein "
        "Standardfehler). Von einer Skizze ohne Maßstab oder einer falschen Länge weiß das ± nichts."
    ),
    sure_all="Kein Vorzeichen ist zweifelhaft.",
    sure_not=(
        "Ob diese Stäbe Zug oder Druck haben, ist bei zwei Standardfehlern nicht sicher: {members}. Sie tragen (?)."
    ),
    notices={
        "near mechanism": (
            "Das Fachwerk ist beinahe beweglich: Kleine Änderungen der Form ändern die Kräfte stark."
        ),
        "roller pulls": (
            "Das verschiebliche Auflager in Knoten {joints} müsste das Fachwerk festhalten. Läge es nur auf, höbe es ab."
        ),
        "lever rule": (
            "Die Last auf Stab {joints} wurde nach dem Hebelgesetz auf seine Enden verteilt; die Biegung dieses Stabes "
            "ist nicht erfasst."
        ),
        "residual": "Die letzten Ziffern sind mit Vorsicht zu nehmen: Die Gleichungen sind schlecht bestimmt.",
    },
    no_answer="Warum es keine Lösung gibt",
    no_answer_text="Deshalb enthält dieses Blatt keine Kräfte. Es zeigt das Fachwerk, die Abzählung und den Grund.",
    motion_alt="Das Fachwerk und gestrichelt, wie es sich bewegt.",
    motion_caption="Gestrichelt: wohin es sich bewegt. Wie weit, ist nicht im Maßstab.",
)

_HANDOUT = HandoutWords(
    kind="Handzettel",
    table_caption="Stabkräfte in {unit}; Zug ist positiv.",
    ranking="Was zuerst nachgibt",
    ranking_caption="Anteil der Tragkraft, den jeder Stab nutzt; der erste gibt zuerst nach.",
    ranking_heads=("Stab", "Kraft in {unit}", "Tragkraft in {unit}", "Genutzt", "Durch"),
    modes={
        "tension": "Zug",
        "crushing": "Zerdrücken",
        "buckling": "Knicken",
        "buckling out of plane": "Knicken aus der Ebene",
        "joint": "seinen Knoten",
    },
    overlay_alt="Das Foto mit der Kraft an jedem Stab und einer Legende.",
    no_picture_alt="Das Fachwerk im Maßstab mit der Kraft an jedem Stab.",
)

GERMAN = Wording(
    language="de",
    decimal=",",
    page="Seite {page} von {pages}",
    sheet=_LEGEND,
    common=_COMMON,
    stability=_STABILITY,
    worked=_WORKED,
    handout=_HANDOUT,
    marks=german_marking.MARKS,
    slips=german_marking.SLIPS,
    feedback=german_marking.FEEDBACK,
    summary=german_marking.CLASS,
    worksheet=WorksheetWords(
        kind="Arbeitsblatt",
        key="Lösung",
        sheet="Blatt {code}",
        version="Fassung {letter} · Blatt {code}",
        name="Name",
        group="Klasse",
        date="Datum",
        task="Bestimme die Auflagerkräfte und die Kraft in jedem Stab. Gib Kräfte in {unit} an, auf {figures} "
        "Stellen gerundet.",
        figure_alt="Das Fachwerk mit Auflagern, Lasten und Längen. Knoten: {names}.",
        leaning_load="Die Last am Knoten {joint} wirkt mit {across} nach {side} und mit {up} nach {way}.",
        leaning_roller="Das lose Lager {joint} drückt {across} nach {side} auf je {up} nach {way}.",
        right="rechts",
        left="links",
        up="oben",
        down="unten",
        deck="Die Fahrbahn von {first} bis {last} trägt {load}; was davon an jeden Knoten kommt, ist "
        "eingezeichnet.",
        weight="Die Stäbe wiegen {load}; das halbe Gewicht jedes Stabs ist an seinen Enden eingezeichnet.",
        count="Lässt es sich allein aus dem Gleichgewicht lösen?",
        members_word="Stäbe",
        reactions_word="Auflagerkräfte",
        joints_word="Knoten",
        determinate_choice="statisch bestimmt:  ja / nein",
        reactions="Auflagerkräfte",
        reactions_hint="x ist nach rechts positiv, y nach oben.",
        reactions_push="n ist der Druck eines losen Lagers, senkrecht zu seinem Grund und ins Fachwerk hinein.",
        members="Stäbe",
        members_hint="Schreibe auf, wie groß die Kraft ist, und kreise T für Zug, C für Druck oder 0 für "
        "einen Nullstab ein.",
        senses="T / C / 0",
        key_text="In der Reihenfolge des Arbeitsblatts. Kräfte in {unit}.",
        key_figure_alt="Das Fachwerk mit der Kraft in jedem Stab.",
        exactly="Genau",
        no_zero="Es gibt keinen Nullstab.",
        zero="Nullstäbe: {members}.",
        zero_now="Nullstäbe nur in dieser Fassung: {members}.",
        zero_before="Nullstäbe im Fachwerk, aus dem diese Fassung entstand, aber hier nicht: {members}.",
        steps="Schritt für Schritt",
        step_whole="Ganzes Fachwerk: ",
        step_part="Teil {joints}: ",
        step_zero="Nullstäbe, am Knoten {joint} zu sehen: {members}.",
        step_joint="Knoten {joint}: ",
        step_section="Schnitt durch {members}: ",
        step_together="Knoten {joints} zusammen: ",
        cover="Welches Blatt ist welches",
        cover_text="Arbeitsblatt, Lösung und Modelldatei tragen dasselbe Kennzeichen. Startzahl {seed} ergibt "
        "dieselben Fassungen noch einmal.",
        cover_head=("Fassung", "Kennzeichen", "Arbeitsblatt", "Lösung", "Modelldatei"),
        same_shape="Die Fassungen haben die Längen des Originals und andere Lasten: Keine einfachen ganzen "
        "Zahlen zeigen dasselbe Fachwerk.",
        moved="Knoten wurden um bis zu {far} von ihrem gezeichneten Ort versetzt, damit die Längen rund sind. "
        "Arbeitsblatt und Lösung rechnen mit diesen Längen; {file} hat sie, für die Korrektur.",
    ),
)
