"""Write trained weights as ONNX for the library: batch norms folded in, weights kept in 16 bits.

  export.py finder weights.pt ../models/finder.onnx
  export.py refiner refiner.pt ../models/refiner.onnx
"""
import sys
import warnings
import numpy as np
import onnx
import torch
from onnx import TensorProto, helper, numpy_helper
import bands
from net import Finder
from train_refiner import Refiner


def halve_weights(model):
    """Store big weights as float16 behind a cast, which the runtime folds when it loads."""
    graph = model.graph
    casts = []
    for tensor in list(graph.initializer):
        if tensor.data_type != TensorProto.FLOAT or int(np.prod(tensor.dims)) < 64:
            continue
        half = numpy_helper.from_array(numpy_helper.to_array(tensor).astype(np.float16), tensor.name + '_16')
        casts.append(helper.make_node('Cast', [half.name], [tensor.name], to=TensorProto.FLOAT))
        graph.initializer.remove(tensor)
        graph.initializer.append(half)
    nodes = casts + list(graph.node)
    del graph.node[:]
    graph.node.extend(nodes)
    return model


def main():
    what, source, target = sys.argv[1:4]
    kept = torch.load(source, map_location='cpu')
    if what == 'finder':
        net, kept, example = Finder(), kept['mean'], torch.zeros(1, 3, 256, 256)
        axes = {'input': {2: 'height', 3: 'width'}, 'output': {2: 'rows', 3: 'columns'}}
    else:
        net, example = Refiner(), torch.zeros(2, 1, bands.ANGLES + 2 * bands.WRAP, bands.DEPTHS)
        axes = {'input': {0: 'objects'}, 'output': {0: 'objects'}}
    net.load_state_dict({k: v.float() if v.dtype.is_floating_point else v for k, v in kept.items()})
    net.eval()
    with warnings.catch_warnings():
        warnings.simplefilter('ignore')
        torch.onnx.export(net, example, target, input_names=['input'], output_names=['output'], opset_version=13, dynamic_axes=axes)
    onnx.save(halve_weights(onnx.load(target)), target)


if __name__ == '__main__':
    main()
