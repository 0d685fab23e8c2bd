"""The application: commands, the model file, and everything drawn or printed."""

__all__: list[str] = []
