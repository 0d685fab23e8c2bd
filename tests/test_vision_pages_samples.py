"""The sample pictures: their model files say what the pictures show, and the trusses can be solved."""

from __future__ import annotations

import hashlib
from pathlib import Path

import cv2
import numpy as np
import pytest

from cli.model.file import Model, load
from vision.training.sample_scenes import DEMO, SAMPLES, Sample
from vision.training.samples import make_sample, model_document

ROOT = Path(__file__).parent.parent
ALL = (*SAMPLES, DEMO)


def _folder(sample: Sample) -> Path:
    return ROOT / "cli" / "demo" if sample is DEMO else ROOT / "sample_images"


def _model(sample: Sample) -> Model:
    return load(_folder(sample) / f"{sample.name}.truss.json")


@pytest.mark.parametrize("sample", ALL, ids=lambda s: s.name)
def test_model_file_is_true(sample: Sample) -> None:
    """The model file is confirmed, belongs to its picture, and says what the scene says."""
    model = _model(sample)
    picture = _folder(sample) / f"{sample.name}.{sample.ending}"
    packed = picture.read_bytes()
    assert model.confirmed
    assert model.picture is not None
    assert model.picture.sha256 == hashlib.sha256(packed).hexdigest()
    height, width = cv2.imdecode(np.frombuffer(packed, np.uint8), cv2.IMREAD_COLOR).shape[:2]
    assert (model.picture.width, model.picture.height) == (width, height)
    assert len(packed) <= 600_000
    assert 1500 <= max(width, height) <= 3000
    assert [j.at for j in model.joints] == [tuple(map(float, at)) for at in sample.at]


@pytest.mark.parametrize("sample", ALL, ids=lambda s: s.name)
def test_samples_are_statically_determinate(sample: Sample) -> None:
    """The equilibrium matrix is square and of full rank (Hibbeler, Structural Analysis: m + r = 2j)."""
    model = _model(sample)
    rows = model.rows
    at = np.array([j.at for j in model.joints])
    columns = []
    for member in model.members:
        a, b = (rows[name] for name in member.joints)
        unit = (at[b] - at[a]) / np.hypot(*(at[b] - at[a]))
        column = np.zeros((len(at), 2))
        column[a], column[b] = unit, -unit
        columns.append(column.ravel())
    for support in model.supports:
        normal = support.normal or (0.0, 1.0)
        for push in ((1.0, 0.0), (0.0, 1.0)) if support.kind == "pin" else (normal,):
            column = np.zeros((len(at), 2))
            column[rows[support.joint]] = push
            columns.append(column.ravel())
    matrix = np.array(columns).T
    assert matrix.shape[0] == matrix.shape[1]
    assert np.linalg.matrix_rank(matrix) == len(matrix)


@pytest.mark.parametrize("sample", ALL, ids=lambda s: s.name)
def test_written_dimensions_are_those_of_the_truss(sample: Sample) -> None:
    """Across, up and along agree with the joints' places."""
    model = _model(sample)
    at = {j.name: np.array(j.at) for j in model.joints}
    for dimension in model.dimensions:
        across, up = np.abs(at[dimension.end] - at[dimension.start])
        found = {"across": across, "up": up, "along": np.hypot(across, up)}[dimension.kind]
        assert found == pytest.approx(dimension.value, rel=1e-4)


@pytest.mark.parametrize("sample", ALL, ids=lambda s: s.name)
def test_names_are_in_reading_order(sample: Sample) -> None:
    """A, B, C run along the bottom row from the left, then upwards, in the plane."""
    order = sorted(sample.names, key=lambda n: (sample.at[sample.row(n)][1], sample.at[sample.row(n)][0]))
    assert tuple(order) == sample.names


@pytest.mark.parametrize("name", ["contest-sticks-model", "handout-overhang-printed"])
def test_committed_truth_is_what_the_maker_makes(name: str) -> None:
    """The joints in the model file are those of the scene rendered now, and the writing matches the model."""
    sample = next(s for s in SAMPLES if s.name == name)
    page = make_sample(sample)
    model = _model(sample)
    assert np.allclose([j.px for j in model.joints], page.joints, atol=0.06)
    written = {t.text for t in page.texts if t.role in {"load", "dimension"}}
    if written:
        loads = {f"{np.hypot(*one.force):g} kN" for one in model.loads if one.force is not None}
        assert written == loads | {f"{d.value:g} m" for d in model.dimensions}
    document = model_document(sample, page, Path(f"{name}.{sample.ending}"), "0" * 64)
    assert document["confirmed"] is True
