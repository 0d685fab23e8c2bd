"""Two whole pages, compared with pictures that a person has looked at."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.demo import CONFIRMATION
from cli.model.file import load
from cli.papers.as_pdf import paper_pictures
from cli.papers.handout import handout
from cli.papers.order import Order
from cli.papers.worked import worked_solution
from tests.hand_typed import hand_typed
from tests.trusses import three_bar

GOLDEN = Path(__file__).parent / "golden"
PPI = 60
MEAN = 0.5
"""Grey levels by which the whole page may differ: other versions of Typst set a line a hair elsewhere."""
WORST_SHARE = 0.01
"""Share of pixels that may differ by a quarter of the scale: edges of letters, never a line of text."""


def worked_page() -> bytes:
    """Return the page with the reactions and the first joint of the smallest truss."""
    order = Order(hand_typed(three_bar(), "Three bars"), Path("some.truss.json"))
    return paper_pictures(worked_solution(order).document, ppi=PPI)[1]


def handout_page() -> bytes:
    """Return the handout of the demo, on US letter and in German."""
    order = Order(load(CONFIRMATION), CONFIRMATION, "de")
    return paper_pictures(handout(order).document, paper="letter", ppi=PPI)[0]


@pytest.mark.parametrize("page", [worked_page, handout_page], ids=lambda page: page.__name__)
def test_page_looks_as_before(page, update_golden: bool) -> None:  # noqa: FBT001 (a fixture)
    """The page is that of the golden picture, to small differences in edges."""
    data = page()
    path = GOLDEN / f"sheet-{page.__name__.replace('_', '-')}.png"
    if update_golden:
        path.write_bytes(data)
    assert path.is_file(), f"{path} is missing: run with --update-golden and look at it"
    drawn = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    golden = cv2.imread(str(path))
    assert golden is not None
    assert golden.shape == drawn.shape
    difference = np.abs(golden.astype(int) - drawn)
    assert difference.mean() <= MEAN
    assert (difference.max(axis=2) > 64).mean() <= WORST_SHARE
