"""The page maker: rendered photographs of trusses with known truth. Nothing else imports it."""

from vision.training.maker import FAMILIES, make_page
from vision.training.page import DrawnArrow, DrawnSupport, DrawnText, OtherDrawing, Page

__all__ = ["FAMILIES", "DrawnArrow", "DrawnSupport", "DrawnText", "OtherDrawing", "Page", "make_page"]
