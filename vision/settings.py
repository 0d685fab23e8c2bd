"""Every tolerance of the reading, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = [
    "InkSettings",
    "JointSettings",
    "PhotoSettings",
    "ReadSettings",
    "RefineSettings",
    "SymbolSettings",
]


@dataclass(frozen=True)
class PhotoSettings:
    """What is accepted as a photograph."""

    most_bytes: int = 256_000_000
    """Bytes of the file. Phones write at most some 30 MB; a doubled limit only costs memory."""
    most_pixels: int = 200_000_000
    """Pixels, checked before decoding: the largest phone sensors have 200 million, 600 MB as colour."""
    least_side: int = 48
    """Pixels of the shorter side. Below, a member of a four-panel truss is shorter than a dozen pixels."""


@dataclass(frozen=True)
class InkSettings:
    """How ink, chalk or sticks are told from the ground."""

    work_side: int = 1400
    """Pixels of the longer side of the working picture. Doubled, reading takes four times as long;
    halved, pencil strokes on a 12-megapixel page fall below two pixels."""
    least_work_side: int = 900
    """Pixels; a smaller picture is enlarged to this, so that a one-pixel stroke can be thinned."""
    most_enlarged: float = 3.0
    """Times; beyond, only the blur of a small picture grows."""
    widest_stroke: float = 0.032
    """Of the working picture's longer side: no stroke or stick is wider. Doubled, shadows and fingers
    become strokes; halved, craft sticks that fill the picture fall apart into their edges."""
    ground_widths: float = 2.0
    """Widest strokes: window of the median that gives the ground's colour. Halved, two sticks side by side
    are taken for ground."""
    noise_factor: float = 5.0
    """Times the noise of the evidence; below this nothing counts as ink."""
    least_contrast: float = 7.0
    """Grey levels of 255: fainter strokes are not told from the texture of paper."""
    strong_share: float = 0.20
    """Of the contrast of the strongest ink: what every stroke must reach somewhere along it."""
    weak_share: float = 0.5
    """Of the threshold of strong ink: how faint a stroke may become where it joins stronger ink."""
    half_height: float = 0.45
    """Of the contrast in the middle of a stroke: where its edge is. Lower, close strokes grow together."""
    local_reach: float = 0.009
    """Of the working picture's longer side: how far around a pixel that middle is sought."""
    ruling_tiles: float = 0.7
    """Share of the tiles of the page in which ruling shows; drawings leave more of the page empty."""
    ruling_levels: float = 1.6
    """Ratio of the contrasts of pen and ruling from which the two can be told apart by contrast alone."""


@dataclass(frozen=True)
class SymbolSettings:
    """How circles, dots, letters and signs are told from members."""

    roundness: float = 0.86
    """Overlap (intersection over union) of a hole with its own ellipse; a square reaches 0.83."""
    triangle: float = 0.7
    """Share of the smallest triangle around it that a hole may fill: any ellipse fills 0.60, a triangle with
    corners rounded by blur more than 0.75. Support signs are triangles."""
    dot_roundness: float = 0.78
    """The same overlap for a filled dot, from which strokes leave on all sides."""
    hole_widths: float = 0.8
    """Stroke widths: least inner radius of a circle; smaller holes are gaps between doubled strokes."""
    ring_inked: float = 0.8
    """Share of the outline of a drawn circle that has ink; the rest may be left open."""
    ring_clear: float = 0.5
    """Share of the ground around a circle that members may cover; between crossing sticks it is more."""
    pinhole_widths: float = 2.5
    """Stroke widths: side of the largest gap in a scribbled dot."""
    dot_fullness: float = 0.6
    """Share of its ellipse that ink covers in a scribbled dot."""
    outline: float = 0.7
    """Of the radius: ink further out is the outline of a circle."""
    closed_sectors: int = 17
    """Of 24 sectors around the centre: how many the outline of a circle passes through."""
    largest_mark: float = 0.08
    """Radius of a drawn joint circle at most, of the working picture's longer side."""
    dot_widths: float = 1.3
    """Radius of a dot at least, in stroke widths; strokes that only cross fill 0.71."""
    letter: float = 0.055
    """Extent of a letter at most, of the working picture's longer side."""
    straightness: float = 4.0
    """Length over breadth from which a small mark may be a piece of a member and no letter."""
    side_block: float = 0.2
    """Share of the structure's total length below which a part that hangs on one joint is a sign."""
    second_drawing: float = 0.25
    """Share of the largest drawing's length from which a separate drawing counts too."""


@dataclass(frozen=True)
class JointSettings:
    """How strokes become members that meet in joints."""

    bow: float = 0.035
    """Of its length: how far a stroke may bow and still be one straight member."""
    spur_widths: float = 2.0
    """Stroke widths: shorter side branches come from thinning, not from the pen."""
    cluster_widths: float = 2.5
    """Stroke widths: nodes closer than this along a stroke are one place."""
    twin_widths: float = 6.0
    """Stroke widths: two places this close may be one crossing at a small angle."""
    gap: float = 0.03
    """Of the drawing's diagonal: ends this close meet. Doubled, panels of a fine truss close up."""
    shortest_member: float = 0.04
    """Of the drawing's diagonal: no member is shorter. A chord of twenty panels has panels of 0.05."""
    gap_along: float = 0.06
    """Of the drawing's diagonal: a gap within one straight line that is still bridged."""
    touch_widths: float = 2.4
    """Stroke widths from the outline of a mark within which a stroke touches it."""
    gap_to_mark: float = 1.6
    """Radii of a circle: how far before its edge a member may stop."""
    bow_degrees: float = 50.0
    """Degrees: how far a stroke may turn at a place without a mark, where every joint is marked."""
    triangulated: float = 0.5
    """Share of the joints that are corners of triangles in a truss whose joints are not marked; tables and
    charts have almost none. A truss with a panel left open still has two thirds."""
    oblique: float = 0.25
    """Share of the members outside the two main directions in a truss of crossing diagonals; tables have
    two directions only."""
    most_joints: int = 80
    """Joints; more are a floor, a wall or a mesh."""
    straight_degrees: float = 14.0
    """Degrees: two strokes that leave a place this nearly opposite run straight through."""


@dataclass(frozen=True)
class RefineSettings:
    """How joints are placed to parts of a pixel on the ink itself."""

    band_widths: float = 1.6
    """Stroke widths to either side of a member's line in which its ink is sought."""
    least_contrast: float = 7.0
    """Grey levels of 255: sections without anything firmer are bare ground."""
    trim: float = 0.12
    """Of a member's length left out at either end, where other members' ink mixes in."""
    sections: int = 48
    """Cross-sections along a member; more only repeat the same pixels."""
    sections_per_wobble: float = 10.0
    """Sections that wobble together: hand and paper grain are correlated along a stroke, so
    48 sections are worth about five independent ones."""
    circle_error: float = 0.08
    """Standard error of the centre of a drawn circle, of its radius."""
    dot_error: float = 0.25
    """Of the radius of a dot: members that meet at a small angle pull the dot's centre."""
    meeting_widths: float = 2.0
    """Stroke widths: standard error of a meeting of strokes before their axes are followed."""
    aim: float = 0.5
    """Of the radius of a mark: how far from its centre members aim that are drawn to its edge."""
    least_error: float = 0.25
    """Pixels of the working picture: nothing is known better than a quarter pixel."""


@dataclass(frozen=True)
class ReadSettings:
    """All settings of `read_photo`."""

    ink: InkSettings = field(default_factory=InkSettings)
    symbols: SymbolSettings = field(default_factory=SymbolSettings)
    joints: JointSettings = field(default_factory=JointSettings)
    refine: RefineSettings = field(default_factory=RefineSettings)
