"""Everything that can go wrong between a picture file and joints in the plane.

VisionError
    PhotoError                    the file is not a photograph that can be read
        MissingPhotoError         nothing there, or it may not be opened
        NotAPictureError          no picture format that is known here
        DamagedPhotoError         the format is known, the content broken or cut short
        TooManyBytesError         refused before it is read into memory
        TooManyPixelsError        refused before it is decoded
        TooFewPixelsError         too small to show a truss
    NoTrussError                  a good photograph, but no truss was seen in it
    SurveyError                   pixels could not be turned into lengths
        JointDataError            the joints or members handed over are not usable
        DimensionError            one dimension makes no sense on its own
        ScaleMissingError         nothing says how long anything is
        LevelError                what was named as level cannot be level
        ViewError                 the known points or the rectangle do not fix the view
        ContradictionError        dimensions that cannot all hold: the smallest set at fault
        NoPlacementError          no placement that can be trusted came out
"""

from __future__ import annotations

__all__ = [
    "ContradictionError",
    "DamagedPhotoError",
    "DimensionError",
    "JointDataError",
    "LevelError",
    "MissingPhotoError",
    "NoPlacementError",
    "NoTrussError",
    "NotAPictureError",
    "PhotoError",
    "ScaleMissingError",
    "SurveyError",
    "TooFewPixelsError",
    "TooManyBytesError",
    "TooManyPixelsError",
    "ViewError",
    "VisionError",
]

_BYTES_PER_MB = 1_000_000
_PIXELS_PER_MPX = 1_000_000


class VisionError(Exception):
    """Root of every error of this package."""


class PhotoError(VisionError):
    """The file is not a photograph that can be read.

    Attributes
    ----------
    name
        The file, as the user gave it.
    """

    name: str


class MissingPhotoError(PhotoError):
    """Nothing is there, or it may not be opened."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(name, reason)
        self.name, self.reason = name, reason

    def __str__(self) -> str:
        return f"Cannot open {self.name}: {self.reason}. Check the name and the folder."


class NotAPictureError(PhotoError):
    """The content is in no picture format that is known here, whatever the name says."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name

    def __str__(self) -> str:
        return (
            f"{self.name} is not a picture that can be read here. "
            "Give a photograph as JPEG, PNG, WebP, TIFF, BMP or HEIC."
        )


class DamagedPhotoError(PhotoError):
    """The format is known, but the content is broken or cut short."""

    def __init__(self, name: str, kind: str) -> None:
        super().__init__(name, kind)
        self.name, self.kind = name, kind

    def __str__(self) -> str:
        return (
            f"{self.name} is a {self.kind} file, but it is damaged or cut short. "
            "Copy it again from the camera, or take a new photograph."
        )


class TooManyBytesError(PhotoError):
    """The file is larger than any photograph needs to be."""

    def __init__(self, name: str, size: int, limit: int) -> None:
        super().__init__(name, size, limit)
        self.name, self.size, self.limit = name, size, limit

    def __str__(self) -> str:
        return (
            f"{self.name} has {self.size / _BYTES_PER_MB:.0f} MB; the limit is "
            f"{self.limit / _BYTES_PER_MB:.0f} MB. Save it as JPEG and try again."
        )


class TooManyPixelsError(PhotoError):
    """The picture has more pixels than are decoded here."""

    def __init__(self, name: str, width: int, height: int, limit: int) -> None:
        super().__init__(name, width, height, limit)
        self.name, self.width, self.height, self.limit = name, width, height, limit

    def __str__(self) -> str:
        return (
            f"{self.name} has {self.width} x {self.height} pixels; the limit is "
            f"{self.limit / _PIXELS_PER_MPX:.0f} million. Make the picture smaller and try again."
        )


class TooFewPixelsError(PhotoError):
    """The picture is too small to show a truss."""

    def __init__(self, name: str, width: int, height: int, least: int) -> None:
        super().__init__(name, width, height, least)
        self.name, self.width, self.height, self.least = name, width, height, least

    def __str__(self) -> str:
        return (
            f"{self.name} has only {self.width} x {self.height} pixels; at least "
            f"{self.least} each way are needed. Give the photograph in its full size."
        )


class NoTrussError(VisionError):
    """A good photograph, but no truss was seen in it.

    Attributes
    ----------
    seen
        What was seen instead, as a phrase: "3 straight strokes that do not meet".
    """

    def __init__(self, name: str, seen: str) -> None:
        super().__init__(name, seen)
        self.name, self.seen = name, seen

    def __str__(self) -> str:
        return (
            f"No truss was found in {self.name}; what was seen: {self.seen}. "
            "Photograph the truss so that it fills most of the picture, in even light."
        )


class SurveyError(VisionError):
    """Pixels could not be turned into lengths.

    Attributes
    ----------
    fault, cure
        Two sentences: what is wrong and where, and what to do.
    """

    def __init__(self, fault: str, cure: str) -> None:
        super().__init__(fault, cure)
        self.fault, self.cure = fault, cure

    def __str__(self) -> str:
        return f"{self.fault} {self.cure}"


class JointDataError(SurveyError):
    """The joints or members handed over are not usable."""


class LevelError(SurveyError):
    """What was named as level cannot be level."""


class ViewError(SurveyError):
    """The known points or the rectangle do not fix the view."""


class NoPlacementError(SurveyError):
    """No placement that can be trusted came out."""


class DimensionError(SurveyError):
    """One dimension makes no sense on its own.

    Attributes
    ----------
    dimension
        The dimension as a person would write it: "across A C 600".
    """

    def __init__(self, dimension: str, fault: str, cure: str) -> None:
        super().__init__(fault, cure)
        self.args = (dimension, fault, cure)
        self.dimension = dimension

    def __str__(self) -> str:
        return f"Dimension {self.dimension}: {self.fault} {self.cure}"


class ScaleMissingError(SurveyError):
    """Nothing says how long anything is."""

    def __init__(self) -> None:
        super().__init__(
            "Nothing says how long anything is.",
            "Give one length between two joints (along, across or up), "
            "four joints with known positions, or a rectangle of known size.",
        )
        self.args = ()


class ContradictionError(SurveyError):
    """Dimensions that cannot all hold: the smallest set at fault.

    Attributes
    ----------
    statements
        The set, each as a person would say it. Without any one of them the rest can hold.
    dimensions
        Which of the dimensions handed over are in the set, by position.
    """

    def __init__(self, statements: tuple[str, ...], dimensions: tuple[int, ...]) -> None:
        super().__init__(
            f"These cannot all hold: {'; '.join(statements)}.", "Correct one of them or leave it out."
        )
        self.args = (statements, dimensions)
        self.statements, self.dimensions = statements, dimensions
