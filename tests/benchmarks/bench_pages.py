"""How fast pages are made: `PYTHONPATH=. python tests/benchmarks/bench_pages.py [SIZE] [PAGES]`.

Prints pages per second of one core (process time, OpenCV on one thread) for each family, after a warm-up
that fills the caches of textures and letters.
"""

from __future__ import annotations

import sys
import time

import cv2

from vision.training import FAMILIES, make_page

FIRST_SEED = 5_000


def main() -> None:
    """Measure and print."""
    size = int(sys.argv[1]) if len(sys.argv) > 1 else 1024
    pages = int(sys.argv[2]) if len(sys.argv) > 2 else 12
    cv2.setNumThreads(1)
    for family in FAMILIES:
        make_page(1, family=family, size=size)
    total = 0.0
    for family in FAMILIES:
        start = time.process_time()
        for seed in range(FIRST_SEED, FIRST_SEED + pages):
            make_page(seed, family=family, size=size)
        spent = time.process_time() - start
        total += spent
        print(f"{family:12s} {pages / spent:6.1f} pages a second and core at {size} px")
    print(f"{'all':12s} {pages * len(FAMILIES) / total:6.1f}")


if __name__ == "__main__":
    main()
