"""Pictures and geometry: from a photograph to joints in plane coordinates, knowing nothing of forces.

`load_photo` and `read_photo` go from a file to a `Reading` in pixels, y down; `vision.survey.survey` from
there to the plane, y up. `vision.training` makes pictures with exact truth and trains the network; nothing
else imports it.
"""

from vision.errors import ContradictionError, NoTrussError, PhotoError, SurveyError, VisionError
from vision.photo import Photo, load_photo
from vision.read import read_photo
from vision.reading import OtherDrawing, Reading, SeenArrow, SeenSupport
from vision.settings import PhotoSettings, ReadSettings
from vision.stages import Keep

__all__ = [
    "ContradictionError",
    "Keep",
    "NoTrussError",
    "OtherDrawing",
    "Photo",
    "PhotoError",
    "PhotoSettings",
    "ReadSettings",
    "Reading",
    "SeenArrow",
    "SeenSupport",
    "SurveyError",
    "VisionError",
    "load_photo",
    "read_photo",
]
