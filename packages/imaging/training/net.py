"""The finder's network: one picture in, one row of numbers per cell out.

Input: float32 (N, 3, H, W), H and W multiples of 32, at WORKING_UM micrometres per pixel, ground subtracted and divided by the mean absolute deviation plus 0.03.
Output: float32 (N, OUTPUTS, H / CELL, W / CELL):
  0                 centre score (logit): shortest spoke over the object's largest shortest spoke, 0..1
  1 .. SPOKES       length of the spokes from the cell's middle to the outline, in units of SPOKE_UNIT input pixels
                    (softplus is applied by the reader), spoke k at angle 2 pi k / SPOKES clockwise from x
  then CLASSES      logits of the class of what covers the cell, the last one is ground
  then 2            cosine and sine of twice the hinge direction
"""
import torch
from torch import nn
import torch.nn.functional as F

WORKING_UM = 3.2
CELL = 4
SPOKES = 32
SPOKE_UNIT = 8.0
CLASSES = ['egg_unfertilised', 'egg_fertilised', 'two_cell', 'four_cell', 'morula', 'blastula', 'gastrula', 'trochophore',
           'd_hinge', 'early_umbo', 'umbo', 'eyed', 'empty_shell', 'dead', 'bubble', 'ciliate', 'fibre', 'debris', 'alga', 'ground']
OUTPUTS = 1 + SPOKES + len(CLASSES) + 2


def conv(cin, cout, k=3, stride=1, groups=1, act=True):
    layers = [nn.Conv2d(cin, cout, k, stride, k // 2, groups=groups, bias=False), nn.BatchNorm2d(cout)]
    if act:
        layers.append(nn.ReLU(inplace=True))
    return nn.Sequential(*layers)


class Block(nn.Module):
    """Residual block: depthwise k x k, widen, narrow."""

    def __init__(self, c, k=5, widen=2):
        super().__init__()
        self.body = nn.Sequential(conv(c, c, k, groups=c, act=False), conv(c, c * widen, 1), conv(c * widen, c, 1, act=False))

    def forward(self, x):
        return x + self.body(x)


class Finder(nn.Module):
    """Cheap where the picture is large: no blocks at a quarter of it, one depthwise layer at the end."""

    def __init__(self, stem=8, c4=24, c8=56, c16=112, c32=160, head=40, n8=2, n16=4, n32=3):
        super().__init__()
        self.stem = conv(3, stem, 3, 2)
        self.d4 = conv(stem, c4, 3, 2)
        self.d8 = nn.Sequential(conv(c4, c8, 3, 2), *[Block(c8) for _ in range(n8)])
        self.d16 = nn.Sequential(conv(c8, c16, 3, 2), *[Block(c16) for _ in range(n16)])
        self.d32 = nn.Sequential(conv(c16, c32, 3, 2), *[Block(c32) for _ in range(n32)])
        self.u16, self.b16 = conv(c32, c16, 1, act=False), Block(c16)
        self.u8, self.b8 = conv(c16, c8, 1, act=False), Block(c8)
        self.u4, self.s4 = conv(c8, head, 1, act=False), conv(c4, head, 1, act=False)
        self.b4 = nn.Sequential(conv(head, head, 5, groups=head, act=False), conv(head, head, 1))
        self.neck = conv(head, head, 1)
        self.out = nn.Conv2d(head, OUTPUTS, 1)
        nn.init.constant_(self.out.bias[0], -3.0)
        nn.init.constant_(self.out.bias[1:1 + SPOKES], 1.0)

    def forward(self, x):
        a = self.d4(self.stem(x))
        b = self.d8(a)
        c = self.d16(b)
        d = self.d32(c)
        up = lambda t: F.interpolate(t, scale_factor=2.0, mode='nearest')  # noqa: E731
        c = self.b16(c + up(self.u16(d)))
        b = self.b8(b + up(self.u8(c)))
        a = self.b4(self.s4(a) + up(self.u4(b)))
        return self.out(self.neck(a))


