"""The parts of the page, read once at the start: html, css and js as they lie beside this module."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files

from cli.cautions import CAUTIONS
from cli.page.palette_css import palette_css

__all__ = ["PageFile", "page_files"]

MEDIA_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}

CAUTION_MARK = "<!-- cautions -->"
"""Where the cautions go in the page, from the one place where they are worded."""


@dataclass(frozen=True)
class PageFile:
    """One file of the page."""

    content: bytes
    media_type: str


def page_files() -> dict[str, PageFile]:
    """Return every part of the page by its name."""
    found = {"palette.css": PageFile(palette_css().encode(), MEDIA_TYPES[".css"])}
    for part in (files("cli.page") / "app").iterdir():
        suffix = part.name[part.name.rfind(".") :]
        if suffix in MEDIA_TYPES:
            found[part.name] = PageFile(part.read_bytes(), MEDIA_TYPES[suffix])
    cautions = "".join(f"<p>{caution}</p>" for caution in CAUTIONS)
    page = found["index.html"]
    found["index.html"] = PageFile(
        page.content.replace(CAUTION_MARK.encode(), cautions.encode()), page.media_type
    )
    return found
