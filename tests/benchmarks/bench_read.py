"""Seconds to read a 12-megapixel photograph beside OpenCV's LineSegmentDetector on the full-size picture.

    python tests/benchmarks/bench_read.py [PHOTO]

Both are measured in turn in one run, from the file on disk to what was found. Without a photograph a made
page is enlarged to 4032 x 3024 and saved as JPEG, as a phone would. Prints; asserts nothing.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

import cv2  # noqa: E402

from vision import NoTrussError, load_photo, read_photo  # noqa: E402
from vision.training import make_page  # noqa: E402

ROUNDS = 5
LONGER_SIDE = 4032
"""Pixels of a 12-megapixel phone camera. A smaller page blown up would spare the detector the grain."""


def read(path: Path) -> str:
    """Load and read, as `panelpoint read` does."""
    try:
        reading = read_photo(load_photo(path))
    except NoTrussError as no:
        return str(no)
    return f"{len(reading.joints)} joints, {len(reading.members)} members"


def detect(path: Path) -> str:
    """Load and run OpenCV's detector at full size."""
    grey = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    assert grey is not None
    lines = cv2.createLineSegmentDetector().detect(grey)[0]
    return f"{0 if lines is None else len(lines)} segments"


def timed(work: Callable[[Path], str], path: Path) -> tuple[float, str]:
    """Give seconds and what was found."""
    start = time.perf_counter()
    found = work(path)
    return time.perf_counter() - start, found


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        if len(sys.argv) > 1:
            path = Path(sys.argv[1])
        else:
            path = Path(folder) / "page.jpg"
            page = make_page(900_001, family="pen", size=LONGER_SIDE).rgb
            cv2.imwrite(str(path), cv2.cvtColor(page, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, 88])
        ours, theirs = [], []
        for _ in range(ROUNDS):
            seconds, found = timed(read, path)
            ours.append(seconds)
            seconds, segments = timed(detect, path)
            theirs.append(seconds)
        code = f"from vision import *; from pathlib import Path; read_photo(load_photo(Path({str(path)!r})))"
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)
        cold = time.perf_counter() - start
    mine, other = statistics.median(ours), statistics.median(theirs)
    print(f"read: {mine:.3f} s ({found}); first call {ours[0]:.3f} s; whole process, cold: {cold:.2f} s")
    print(f"OpenCV LineSegmentDetector, full size: {other:.3f} s ({segments})")
    print(f"ratio {mine / other:.2f}, median of {ROUNDS}")
    print(f"peak memory of this process {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
