"""The day on which models are broken: records, limits, the class's table, and what it says of the stock."""

__all__: list[str] = []
