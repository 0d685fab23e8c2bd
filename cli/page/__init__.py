"""The confirm page: a small server on this computer only, and the page it serves."""

__all__: list[str] = []
