"""`panelpoint sheet`: every form of every kind, from the front door."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from cli.cautions import CAUTIONS
from cli.demo import CONFIRMATION
from cli.model.file import Model, load
from cli.papers.as_pdf import PAPERS, paper_pictures
from cli.papers.content import Block, KeepTogether, Table
from cli.papers.handout import handout
from cli.papers.order import Order
from tests.front_door import assert_refused, panelpoint, three_bars, write_model
from tests.hand_typed import hand_typed
from tests.trusses import through_truss


@pytest.mark.parametrize("kind", ["worked", "handout"])
@pytest.mark.parametrize("form", ["pdf", "html", "md", "json", "csv"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_every_form(tmp_path: Path, kind: str, form: str, language: str) -> None:
    """Each form is written, says where, and is of its kind."""
    model = write_model(tmp_path, three_bars())
    output = tmp_path / f"sheet.{form}"
    outcome = panelpoint("sheet", model, "--kind", kind, "--language", language, "-o", output)
    assert outcome.code == 0, outcome.err
    assert f"Written to {output}." in outcome.err
    data = output.read_bytes()
    assert data.startswith({"pdf": b"%PDF", "html": b"<!DOCTYPE html>", "json": b"{"}.get(form, b""))
    if form in {"html", "md"}:
        assert ("10,0" in data.decode()) == (language == "de")


def test_figures_go_into_a_folder(tmp_path: Path) -> None:
    """A name without a suffix is a folder with an SVG of every figure, each with its typeface inside."""
    model = write_model(tmp_path, three_bars())
    assert panelpoint("sheet", model, "-o", tmp_path / "figures").code == 0
    names = {path.name for path in (tmp_path / "figures").iterdir()}
    assert names == {"truss.svg", "whole.svg", "joint-A.svg", "joint-B.svg", "forces.svg"}
    assert "@font-face" in (tmp_path / "figures" / "joint-A.svg").read_text(encoding="utf-8")


def test_json_is_one_object_on_standard_output(tmp_path: Path) -> None:
    """With `--json` nothing is written to disk, and equations are in it as text."""
    outcome = panelpoint("sheet", write_model(tmp_path, three_bars()), "--json")
    assert outcome.document["kind"] == "worked"
    equations = [block for block in outcome.document["blocks"] if block["block"] == "equations"]
    lines = [line for block in equations for line in block["text"]]
    assert "F_AC = −6.00/0.6 = −10.0 N (C)" in [" ".join(line.split()) for line in lines]


def test_members_are_in_full_precision(tmp_path: Path) -> None:
    """The CSV is that of the other commands."""
    model = write_model(tmp_path, three_bars())
    panelpoint("sheet", model, "-o", tmp_path / "members.csv")
    rows = list(csv.reader(io.StringIO((tmp_path / "members.csv").read_text(encoding="utf-8"))))
    assert [row[2] for row in rows[1:]] == ["8", "-10", "-10"]


def test_an_unstable_truss_explains_itself(tmp_path: Path) -> None:
    """The sheet is written, has the count, the reason, the cure and the cautions; the exit code is 1."""
    document = three_bars(supports=[{"joint": "A", "kind": "roller"}, {"joint": "B", "kind": "roller"}])
    output = tmp_path / "why.md"
    outcome = panelpoint("sheet", write_model(tmp_path, document), "-o", output)
    assert outcome.code == 1
    text = output.read_text(encoding="utf-8")
    assert "m + r = 3 + 2 = 5 < 2j = 2·3 = 6" in text
    assert "The whole truss slides sideways" in text
    assert "Add a support" in text
    assert CAUTIONS[1] in text
    refused = panelpoint("sheet", write_model(tmp_path, document), "-o", tmp_path / "why.csv")
    assert_refused(refused, "no member forces", code=1)


@pytest.mark.parametrize(
    ("case", "language"), [("photograph", "de"), ("thirty joints", "en"), ("stock", "en"), ("stock", "de")]
)
def test_a_handout_is_one_page(case: str, language: str) -> None:
    """With a photograph, with 57 members, with a ranking: picture, table and cautions stand on one page."""
    models = {
        "photograph": lambda: (load(CONFIRMATION), CONFIRMATION),
        "thirty joints": lambda: (hand_typed(through_truss("pratt", 15), "Long"), Path("long.truss.json")),
        "stock": lambda: (stocked(), Path("stock.truss.json")),
    }
    model, path = models[case]()
    document = handout(Order(model, path, language)).document
    names = {table.name for table in tables_of(document.blocks)}
    assert names == {"members", "ranking"} if case == "stock" else {"members"}
    for paper in PAPERS:
        assert len(paper_pictures(document, paper=paper, ppi=20)) == 1


def stocked() -> Model:
    """Return three bars of a strip of pine, which C pushes down."""
    strip = {"material": "pine", "width": 10, "thickness": 3}
    bars = [{**member, "stock": "strip"} for member in three_bars()["members"]]
    return Model.model_validate_json(json.dumps(three_bars(members=bars, stocks={"strip": strip})))


def tables_of(blocks: tuple[Block, ...]) -> Iterator[Table]:
    """Go through the tables of a document."""
    for block in blocks:
        if isinstance(block, Table):
            yield block
        elif isinstance(block, KeepTogether):
            yield from tables_of(block.blocks)


def test_slips_are_told(tmp_path: Path) -> None:
    """No output, a wrong suffix, a file that is there."""
    model = write_model(tmp_path, three_bars())
    assert_refused(panelpoint("sheet", model), "--json")
    assert_refused(panelpoint("sheet", model, "-o", tmp_path / "some.docx"), ".pdf", ".html")
    (tmp_path / "there.md").write_text("mine", encoding="utf-8")
    assert_refused(panelpoint("sheet", model, "-o", tmp_path / "there.md"), "--force")
    assert_refused(panelpoint("sheet", model, "-o", model, "--force"), "never replaced")
