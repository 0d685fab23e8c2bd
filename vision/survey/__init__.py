"""From pixels to plane: scale, level, view, dimensions, errors.

The front door is `survey`; its stages, in the order in which `place` calls them:

    given          what a person can say: dimensions, known points, a known rectangle
    check          joints, members and names, checked at the door
    view           perspective taken away (homography); here y turns up
    level          the chord that gives level when nobody named one
    frame          origin, level and scale; what was said becomes statements (dimensions, statements)
    conflict       can all statements hold, and which few are at fault (settle, taut)
    fit            joints as near to the drawing as the conditions allow, and their errors
    camber         chords that bend on purpose, which stay as they are
    straighten     near-level and near-upright members become so
    remarks        what was decided, in sentences
    placement      what comes out

`constraints` is the algebra underneath; `settings` holds every tolerance.
"""

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
