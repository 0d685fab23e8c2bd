"""The model file: what it may hold, reading it, writing it, and saying what is wrong with it."""
