"""Two drawings of joints and members laid on each other: is it the same truss, however it is sketched.

`match` tolerates what a sketch does to a truss: another size, shear, stretch, the slant of a camera. It
needs no names. It tells which joints and members are missing or extra, whether the drawing is a mirror
image or turned, and how far its shape is off what an even stretch allows.
"""

from vision.matching.differences import Differences
from vision.matching.match import Match, match
from vision.matching.settings import MatchSettings

__all__ = ["Differences", "Match", "MatchSettings", "match"]
