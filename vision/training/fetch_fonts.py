"""Fetch handwriting fonts for training: `python -m vision.training.fetch_fonts`.

They come from Fontsource packages of the npm registry (SIL Open Font License or Apache License 2.0; each
licence is kept beside its font) by `npm pack`, and go to `vision/training/fonts/`, which git ignores. Pages
can be made without them.
"""

from __future__ import annotations

import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path

from vision.training.faces import HAND_FOLDER

__all__ = ["FONTS", "fetch_font"]

FONTS = (
    "annie-use-your-telescope", "architects-daughter", "bad-script", "caveat", "caveat-brush",
    "cedarville-cursive", "comic-neue", "covered-by-your-grace", "delicious-handrawn", "finger-paint",
    "gaegu", "gloria-hallelujah", "gochi-hand", "handlee", "homemade-apple", "indie-flower", "itim", "kalam",
    "mansalva", "marck-script", "nanum-pen-script", "neucha", "patrick-hand", "permanent-marker",
    "reenie-beanie", "rock-salt", "schoolbell", "shadows-into-light", "short-stack", "sriracha",
    "sue-ellen-francisco", "swanky-and-moo-moo", "the-girl-next-door",
)  # fmt: skip
"""Names of the packages, after `@fontsource/`."""


def fetch_font(name: str, folder: Path) -> Path | None:
    """Fetch one font and its licence into a folder; None where the registry does not have it."""
    npm = shutil.which("npm")
    if npm is None:
        raise FileNotFoundError("npm")
    with tempfile.TemporaryDirectory() as work:
        # The name comes from the list above.
        done = subprocess.run(  # noqa: S603
            [npm, "pack", "--silent", f"@fontsource/{name}"], cwd=work, capture_output=True, check=False
        )
        packed = sorted(Path(work).glob("*.tgz"))
        if done.returncode or not packed:
            return None
        with tarfile.open(packed[0]) as archive:
            wanted = {
                f"package/files/{name}-latin-400-normal.woff": folder / f"{name}.woff",
                "package/LICENSE": folder / f"{name}.LICENSE",
            }
            for member, target in wanted.items():
                if member in archive.getnames():
                    source = archive.extractfile(member)
                    if source is not None:
                        target.write_bytes(source.read())
    font = folder / f"{name}.woff"
    return font if font.is_file() else None


def main() -> None:
    """Fetch all fonts of the list that are not there yet."""
    HAND_FOLDER.mkdir(exist_ok=True)
    for name in FONTS:
        if not (HAND_FOLDER / f"{name}.woff").is_file():
            fetch_font(name, HAND_FOLDER)


if __name__ == "__main__":
    main()
