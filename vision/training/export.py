"""Export the averaged weights of a run to ONNX with fp16 storage.

`python -m vision.training.export run/weights.pt vision/weights/panelpoint.onnx`
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
import onnx
import torch
from onnx import helper, numpy_helper
from torch import nn

from vision.channels import CHANNELS
from vision.training.net import MapNet

__all__ = ["export", "main"]


class _Finished(nn.Module):
    """The network with its logits turned into 0 to 1."""

    def __init__(self, net: MapNet) -> None:
        super().__init__()
        self.net = net

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        return torch.sigmoid(self.net(x))


def _half_storage(model: onnx.ModelProto) -> None:
    """Store weights as fp16, a cast beside each: the runtime folds the casts and computes in fp32."""
    casts, kept = [], []
    for tensor in model.graph.initializer:
        if tensor.data_type != onnx.TensorProto.FLOAT or np.prod(tensor.dims) < 64:
            kept.append(tensor)
            continue
        half = numpy_helper.from_array(
            numpy_helper.to_array(tensor).astype(np.float16), tensor.name + "_half"
        )
        kept.append(half)
        casts.append(helper.make_node("Cast", [half.name], [tensor.name], to=onnx.TensorProto.FLOAT))
    nodes = [*casts, *model.graph.node]
    del model.graph.initializer[:], model.graph.node[:]
    model.graph.initializer.extend(kept)
    model.graph.node.extend(nodes)


def export(weights: Path, target: Path) -> None:
    """Write the averaged weights of a run as ONNX to `target`, batch norms folded in."""
    net = MapNet(CHANNELS)
    net.load_state_dict(torch.load(weights, map_location="cpu", weights_only=True))
    finished = _Finished(net).eval()
    part = target.with_suffix(".part.onnx")
    torch.onnx.export(
        finished, (torch.zeros(1, 3, 256, 320),), str(part), input_names=["picture"], output_names=["maps"],
        dynamic_axes={"picture": {2: "height", 3: "width"}, "maps": {2: "rows", 3: "columns"}},
        opset_version=17, do_constant_folding=True, dynamo=False,
    )  # fmt: skip
    model = onnx.load(str(part))
    _half_storage(model)
    onnx.checker.check_model(model)
    target.parent.mkdir(parents=True, exist_ok=True)
    onnx.save(model, str(target))
    part.unlink()


def main() -> None:
    """Read the command line and export."""
    parser = argparse.ArgumentParser(prog="python -m vision.training.export", description=__doc__)
    parser.add_argument("weights", type=Path)
    parser.add_argument("target", type=Path)
    given = parser.parse_args()
    export(given.weights, given.target)


if __name__ == "__main__":
    main()
