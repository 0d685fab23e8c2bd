"""From pixels to plane: scale, view, dimensions, errors."""
