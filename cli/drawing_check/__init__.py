"""A student's own drawing held against the truss that was set.

`check` compares the reading of a photograph with the key and names the slips; `picture` draws them on the
photograph; `job` does the whole for one photograph.
"""

__all__: list[str] = []
