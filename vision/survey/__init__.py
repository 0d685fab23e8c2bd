"""From pixels to plane: scale, level, view, dimensions, errors."""

from vision.survey.given import Dimension, DimensionKind, KnownPoints, KnownRectangle, View
from vision.survey.place import survey
from vision.survey.placement import FreeJoint, Placement
from vision.survey.settings import SurveySettings

__all__ = [
    "Dimension",
    "DimensionKind",
    "FreeJoint",
    "KnownPoints",
    "KnownRectangle",
    "Placement",
    "SurveySettings",
    "View",
    "survey",
]
