"""Fetch photographs for training: `python -m vision.training.fetch_photos`.

They come from Debian packages (`apt-get download`, so it needs a Debian machine) and from scikit-image's own
pictures, all under open licences; each package's licence text is kept beside. They are shrunk and go to
`vision/training/photos/`, which git ignores. None shows a truss, a lattice, a crane or a scaffold, since
behind made pictures they are labelled as nothing: a picture enters the lists below only once looked at.
Pages can be made without them.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import tempfile
import zipfile
from dataclasses import dataclass
from importlib.metadata import distribution
from pathlib import Path

import cv2
import numpy as np
import skimage
from numpy.typing import NDArray

from vision.training.panoramas import read_panorama, view_of
from vision.training.photos import PHOTO_FOLDER

__all__ = ["SOURCES", "Source", "fetch_package", "shrunk"]

LONGEST = 1024
"""Longer side of a kept photograph, pixels: about that of the pictures they stand behind."""
QUALITY = 85
"""Of the JPEG files: 100 photographs stay below 25 MB."""


@dataclass(frozen=True)
class Source:
    """Photographs of one package."""

    package: str
    folder: str
    """Below the package's root; of an archive of Java, the archive and the folder within it after `!`."""
    scenes: tuple[str, ...] = ()
    """File names of pictures of rooms, land and things."""
    surfaces: tuple[str, ...] = ()
    """File names of pictures of wood, stone, cloth, walls."""
    views: tuple[tuple[str, int, int], ...] = ()
    """Of round-about photographs: file name, heading and height of the view in degrees; all are scenes."""


SOURCES = (
    Source(
        "lomiri-wallpapers-16.04",
        "usr/share/backgrounds",
        (
            "Dragonfly_by_Bolly.jpg", "Picture_0B_by_freespace.jpg", "Picture_1A_by_freespace.jpg",
            "Wine_by_Jakkub_Mede.jpg", "aitzgorri_by_Aitzol_Berasategi.jpg", "free_by_Peter_Nerlich.jpg",
            "friends_by_Aitzol_Berasategi.jpg", "greentock_by_Peter_Nerlich.jpg",
            "life_by_Aitzol_Berasategi.jpg", "picosdeeuropa_by_Aitzol_Berasategi.jpg",
            "seeding_by_Clements_Engelhardt.jpg", "sunset_by_Aitzol_Berasategi.jpg",
        ),
        ("analogpattern_by_Peter_Nerlich.jpg",),
    ),
    Source("lomiri-wallpapers-20.04", "usr/share/backgrounds", ("Kleiber_by_Lukas_Baubkus.jpg",)),
    Source(
        "mate-backgrounds",
        "usr/share/backgrounds/mate/nature",
        (
            "Aqua.jpg", "Dune.jpg", "FreshFlower.jpg", "Garden.jpg", "LadyBird.jpg", "RainDrops.jpg",
            "Storm.jpg", "TwoWings.jpg", "YellowFlower.jpg",
        ),
        ("Blinds.jpg", "GreenMeadow.jpg", "Wood.jpg"),
    ),
    Source(
        "palapeli-data",
        "usr/share/palapeli/collection",
        ("castle-maintenon.jpg", "citrus-fruits.jpg", "european-honey-bee.jpg",
         "panther-chameleon-female.jpg"),
    ),
    Source(
        "plasma-workspace-wallpapers",
        "usr/share/wallpapers",
        (
            *(
                f"{name}/contents/images/2560x1600.jpg"
                for name in ("BytheWater", "ColdRipple", "ColorfulCups", "DarkestHour", "EveningGlow",
                             "FallenLeaf", "Kite", "OneStandsOut", "Path", "summer_1am")
            ),
            "Volna/contents/images/5120x2880.jpg",
        ),
    ),
    Source("gnome-backgrounds", "usr/share/backgrounds/gnome", (), ("wood-d.webp", "wood-l.webp")),
    Source(
        "opencv-doc",
        "usr/share/doc/opencv-doc/examples",
        (
            "alphamat/input_images/plant.jpg", "hfs/data/000.jpg", "hfs/data/001.jpg", "hfs/data/002.jpg",
            "reg/home.png", "text/scenetext01.jpg", "text/scenetext02.jpg", "text/scenetext03.jpg",
            "text/scenetext04.jpg", "text/scenetext06.jpg",
            *(
                f"data/{name}"
                for name in (
                    "aero1.jpg", "aloeL.jpg", "apple.jpg", "blox.jpg", "board.jpg", "box.png",
                    "box_in_scene.png", "building.jpg", "butterfly.jpg", "chicky_512.png", "ela_original.jpg",
                    "fruits.jpg", "graf1.png", "home.jpg", "left.jpg", "left01.jpg", "left05.jpg",
                    "left12.jpg", "leuvenA.jpg", "licenseplate_motion.jpg", "orange.jpg", "smarties.png",
                    "squirrel_cls.jpg", "stuff.jpg", "sudoku.png", "text_defocus.jpg",
                )
            ),
        ),
    ),
    Source(
        "blender-data",
        "usr/share/blender/datafiles/studiolights/world",
        views=(
            *(("interior.exr", heading, up) for heading in (-180, -60, 0, 60, 120) for up in (0, -28)),
            ("studio.exr", -60, 0), ("studio.exr", -60, -28), ("studio.exr", -120, -28),
            ("studio.exr", 60, -28),
            ("courtyard.exr", 0, 0), ("courtyard.exr", 60, 0), ("courtyard.exr", -180, -28),
            ("courtyard.exr", -120, -28), ("forest.exr", -60, 0), ("forest.exr", -60, -28),
            ("sunset.exr", -180, 0), ("sunset.exr", -180, -28), ("sunset.exr", -120, 0),
            ("sunset.exr", 120, 0),
            ("sunset.exr", 120, -28), ("sunset.exr", -60, -28),
        ),
    ),
    Source(
        "sweethome3d",
        "usr/share/sweethome3d/sweethome3d.jar!com/eteks/sweethome3d/io/resources/textures",
        ("cloudy.jpg", "veryCloudy.jpg"),
        (
            "blackAndWhiteTiles.jpg", "boxTree.jpg", "grass.jpg", "greyTile.jpg", "marbleWall.jpg",
            "oldWoodenFloor.jpg", "pavingStone.jpg", "pebbles.jpg", "redTiles.jpg", "roughcast.jpg",
            "smallBricks.jpg", "smallRedBricks.jpg", "smallWhiteBricks.jpg", "stone2Wall.jpg",
            "stone3Wall.jpg", "stoneTiles.jpg", "stoneWall.jpg", "wallBeigeTile.jpg", "woodenFloor.jpg",
        ),
    ),
)  # fmt: skip
"""Debian packages with photographs, each picture looked at."""

OWN = Source(
    "scikit-image",
    "data",
    ("astronaut.png", "chelsea.png", "coffee.png", "coins.png", "page.png", "text.png"),
    ("brick.png", "grass.png", "gravel.png"),
)
"""Photographs that scikit-image brings along."""


def shrunk(code: bytes) -> NDArray[np.uint8] | None:
    """Decode a picture file and bring its longer side to at most `LONGEST`; None if it is no picture."""
    picture = cv2.imdecode(np.frombuffer(code, np.uint8), cv2.IMREAD_COLOR)
    if picture is None:
        return None
    scale = LONGEST / max(picture.shape[:2])
    if scale < 1:
        picture = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return np.asarray(picture, np.uint8)


def _files(root: Path, source: Source) -> list[tuple[str, str, bytes]]:
    """Read a source's pictures as kind, name and bytes; what a release no longer has is left out."""
    place, _, inside = source.folder.partition("!")
    kinds = [("scenes", name) for name in source.scenes] + [("surfaces", name) for name in source.surfaces]
    if not inside:
        paths = [(kind, name, root / place / name) for kind, name in kinds]
        return [(kind, name, path.read_bytes()) for kind, name, path in paths if path.is_file()]
    with zipfile.ZipFile(io.BytesIO((root / place).read_bytes())) as archive:
        held = set(archive.namelist())
        wanted = [(kind, name, f"{inside}/{name}") for kind, name in kinds]
        return [(kind, name, archive.read(entry)) for kind, name, entry in wanted if entry in held]


def _write(target: Path, picture: NDArray[np.uint8]) -> bool:
    target.parent.mkdir(parents=True, exist_ok=True)
    return cv2.imwrite(str(target), picture, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])


def _keep_views(root: Path, source: Source, folder: Path) -> int:
    """Cut the views out of a source's round-about photographs, and return how many there are."""
    count = 0
    for name in sorted({name for name, _, _ in source.views}):
        path = root / source.folder / name
        if not path.is_file():
            continue
        panorama = read_panorama(path)[..., ::-1]
        for _, heading, up in (view for view in source.views if view[0] == name):
            target = folder / "scenes" / f"{source.package}-{Path(name).stem}-{heading}-{up}.jpg"
            count += _write(target, view_of(panorama, heading, up=up))
    return count


def keep(root: Path, source: Source, folder: Path) -> int:
    """Shrink a source's pictures into `folder`/scenes and `folder`/surfaces and return how many there are."""
    count = _keep_views(root, source, folder)
    for kind, name, code in _files(root, source):
        picture = shrunk(code)
        if picture is not None:
            flat = f"{source.package}-{name.replace('/contents/images', '').replace('/', '-')}"
            target = folder / kind / f"{Path(flat).stem}.jpg"
            count += _write(target, picture)
    return count


def fetch_package(source: Source, folder: Path) -> int:
    """Fetch one Debian package, keep its pictures and licence text, and return how many pictures there are.

    Raises
    ------
    FileNotFoundError
        If this machine has no `apt-get` or `dpkg-deb`.
    """
    apt, dpkg = shutil.which("apt-get"), shutil.which("dpkg-deb")
    if apt is None or dpkg is None:
        raise FileNotFoundError("apt-get, dpkg-deb")
    with tempfile.TemporaryDirectory() as work:
        # The names come from the list above.
        subprocess.run([apt, "download", source.package], cwd=work, capture_output=True, check=False)  # noqa: S603
        packed = sorted(Path(work).glob("*.deb"))
        if not packed:
            return 0
        root = Path(work) / "x"
        subprocess.run([dpkg, "-x", str(packed[0]), str(root)], check=True)  # noqa: S603
        rights = root / "usr/share/doc" / source.package / "copyright"
        if rights.is_file():
            shutil.copyfile(rights, folder / f"{source.package}.LICENSE")
        return keep(root, source, folder)


def main() -> None:
    """Fetch all photographs."""
    PHOTO_FOLDER.mkdir(exist_ok=True)
    for source in SOURCES:
        fetch_package(source, PHOTO_FOLDER)
    keep(Path(skimage.__file__).parent, OWN, PHOTO_FOLDER)
    rights = distribution("scikit-image").read_text("LICENSE.txt")
    if rights is not None:
        (PHOTO_FOLDER / "scikit-image.LICENSE").write_text(rights, encoding="utf-8")


if __name__ == "__main__":
    main()
