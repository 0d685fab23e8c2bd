"""Everything drawn or printed.

Each sheet is imported from its own module (`overlay`, `figures`, `free_bodies`, `sections`): gathering them
here would make every command wait for OpenCV and for shapes it never draws.
"""

__all__: list[str] = []
