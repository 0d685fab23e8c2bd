"""Pictures and geometry: from a photograph to joints in plane coordinates, knowing nothing of forces."""

from vision.errors import NoTrussError, PhotoError, VisionError
from vision.photo import Photo, load_photo
from vision.read import Keep, read_photo
from vision.reading import Reading, SeenLoad, SeenSupport

__all__ = [
    "Keep",
    "NoTrussError",
    "Photo",
    "PhotoError",
    "Reading",
    "SeenLoad",
    "SeenSupport",
    "VisionError",
    "load_photo",
    "read_photo",
]
