"""Marking at the desk: files of answers in, marks, feedback sheets and a summary of the class out.

Each part is imported from its own module, so that a command waits only for what it needs.
"""

__all__: list[str] = []
