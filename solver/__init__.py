"""Geometry and forces: statics of planar pin-jointed trusses. Nothing here has heard of a pixel or a file."""

__all__: list[str] = []
