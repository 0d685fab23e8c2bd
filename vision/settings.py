"""Every tolerance of the reading, with its unit and its reason."""

from __future__ import annotations

from dataclasses import dataclass, field

from vision.arrows import ArrowSettings
from vision.others import OtherSettings
from vision.sizes import SizeSettings
from vision.supports import SupportSettings

__all__ = ["ContrastSettings", "PhotoSettings", "ReadSettings", "RefineSettings"]


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
class ContrastSettings:
    """How ink, chalk or sticks are told from the ground."""

    work_side: int = 1400
    """Pixels of the longer side of the working picture. Doubled, reading takes four times as long;
    halved, pencil strokes on a 12-megapixel page fall below two pixels."""
    least_work_side: int = 900
    """Pixels; a smaller picture is enlarged to this, so that a stroke has sections of several pixels."""
    most_enlarged: float = 3.0
    """Times; beyond, only the blur of a small picture grows."""
    widest_stroke: float = 0.032
    """Of the working picture's longer side: no stroke or stick is wider. Doubled, shadows and fingers
    become strokes; halved, craft sticks that fill the picture fall apart into their edges."""
    least_contrast: float = 7.0
    """Grey levels of 255: sections without anything firmer are bare ground."""
    sections: int = 9
    """Cross-sections of each member in which the stroke is measured; the median needs no more."""


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
    map_error: float = 0.2
    """Cells of the network's maps: standard error of a joint there, as measured on made pages (0.19 in each
    direction by the median deviation). Larger, sloping free-hand strokes pull joints off."""
    least_error: float = 0.25
    """Pixels of the working picture: nothing is known better than a quarter pixel."""


@dataclass(frozen=True)
class ReadSettings:
    """All settings of `read_photo`."""

    sizes: SizeSettings = field(default_factory=SizeSettings)
    contrast: ContrastSettings = field(default_factory=ContrastSettings)
    refine: RefineSettings = field(default_factory=RefineSettings)
    supports: SupportSettings = field(default_factory=SupportSettings)
    arrows: ArrowSettings = field(default_factory=ArrowSettings)
    others: OtherSettings = field(default_factory=OtherSettings)
    least_members: int = 3
    """A triangle is the smallest truss."""
    least_confidence: float = 0.08
    """Of the whole reading, 0 to 1: below, what was read is not called a truss."""
