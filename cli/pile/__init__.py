"""Piles: every photograph of a folder read, solved or compared with a key, and one report of all of them.

`papers` lists what is there, `sheet` does the work on one photograph, `pool` and `cluster` do it on many at a
time, `store` keeps what is done so that a run that was killed goes on, `report` tells the person.
"""

__all__: list[str] = []
