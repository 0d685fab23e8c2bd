"""Pictures and geometry: from a photograph to joints in plane coordinates, knowing nothing of forces."""

__all__: list[str] = []
