"""The design's colours as CSS variables: the page takes them from the same place as every sheet."""

from __future__ import annotations

from cli.sheets.palette import INK, PALE_INK, PAPER, SENSES, USE, contrast, rgb

__all__ = ["light_tone", "palette_css"]

NAMES = {"T": "tension", "C": "compression", "0": "zero", "?": "unsure"}
DARK_GROUND = "#1b2126"
"""Ground of panels in dark mode."""
TEXT_CONTRAST_DARK = 6.0
"""Contrast of coloured text on the dark ground. WCAG 2.2 asks for 4.5."""


def light_tone(colour: str, ground: str = DARK_GROUND) -> str:
    """Lighten a colour towards white until text in it can be read on a dark ground."""
    for percent in range(101):
        tone = "#" + "".join(f"{round(part + (255 - part) * percent / 100):02x}" for part in rgb(colour))
        if contrast(tone, ground) >= TEXT_CONTRAST_DARK:
            return tone
    return PAPER


def palette_css() -> str:
    """Return the style sheet of colours, for light and dark surroundings.

    Lines on the photograph keep the design's colours in both; only text changes its tone with the ground
    under it.
    """
    lines = {f"--{NAMES[sense]}": style.colour for sense, style in SENSES.items()}
    light = {f"--{NAMES[sense]}-text": style.text_colour for sense, style in SENSES.items()}
    dark = {f"--{NAMES[sense]}-text": light_tone(style.colour) for sense, style in SENSES.items()}
    on_picture = {f"--{NAMES[sense]}-label": style.text_colour for sense, style in SENSES.items()}
    use = {f"--use-{row}": tone for row, tone in enumerate(USE)}
    fixed = {**lines, **on_picture, **use, "--ink": INK, "--pale-ink": PALE_INK, "--paper": PAPER}
    return (
        f":root {{\n{_declared(fixed)}{_declared(light)}}}\n"
        f"@media (prefers-color-scheme: dark) {{\n:root {{\n{_declared(dark)}}}\n}}\n"
    )


def _declared(values: dict[str, str]) -> str:
    return "".join(f"  {name}: {value};\n" for name, value in values.items())
