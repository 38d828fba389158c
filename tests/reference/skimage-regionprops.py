"""Draws plain shapes into tests/data/shapes/shapes.png and measures them with scikit-image: skimage-regionprops.json.

Debian: apt-get install python3-skimage python3-opencv; then /usr/bin/python3 tests/reference/skimage-regionprops.py
A pixel belongs to a shape when its centre lies inside, so the shapes' own measures (under "true") hold as well.
"""
import json
import math
import os

import cv2
import numpy as np
import skimage
from skimage.measure import label, perimeter, perimeter_crofton, regionprops

HERE = os.path.dirname(os.path.abspath(__file__))
CELL, COLUMNS = 128, 6


def turned(degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return lambda x, y: (c * x + s * y, c * y - s * x)


def ellipse(a, b, degrees):
    turn = turned(degrees)
    h = ((a - b) / (a + b)) ** 2
    ring = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))          # Ramanujan's second
    def inside(x, y):
        u, v = turn(x, y)
        return (u / a) ** 2 + (v / b) ** 2 < 1
    return inside, dict(area=math.pi * a * b, perimeter=ring, maxFeret=2 * max(a, b), solidity=1.0)


def box(w, h, degrees):
    turn = turned(degrees)
    def inside(x, y):
        u, v = turn(x, y)
        return (np.abs(u) < w / 2) & (np.abs(v) < h / 2)
    return inside, dict(area=w * h, perimeter=2 * (w + h), maxFeret=math.hypot(w, h), solidity=1.0)


def cut_disc(r, level, degrees):
    """Disc without the part beyond a straight side: the outline of a straight-hinge larva."""
    turn = turned(degrees)
    half = math.acos(level / r)
    def inside(x, y):
        u, v = turn(x, y)
        return (u * u + v * v < r * r) & (v > -level)
    chord = 2 * r * math.sin(half)
    area = math.pi * r * r - (half * r * r - level * chord / 2)
    return inside, dict(area=area, perimeter=(2 * math.pi - 2 * half) * r + chord, maxFeret=2 * r, solidity=1.0)


def angle_iron(size, thick, degrees):
    turn = turned(degrees)
    def inside(x, y):
        u, v = turn(x, y)
        u, v = u + size / 3, v + size / 3
        return (u > 0) & (v > 0) & (u < size) & (v < size) & ((u < thick) | (v < thick))
    area = size * size - (size - thick) ** 2
    hull = size * size - (size - thick) ** 2 / 2
    return inside, dict(area=area, perimeter=4 * size, maxFeret=size * math.sqrt(2), solidity=area / hull)


def crescent(r, shift, degrees):
    turn = turned(degrees)
    def inside(x, y):
        u, v = turn(x, y)
        return (u * u + v * v < r * r) & ((u - shift) ** 2 + v * v > (0.8 * r) ** 2)
    return inside, None


SHAPES = [
    ('disc of 8 px', ellipse(4, 4, 0)), ('disc of 15 px', ellipse(7.5, 7.5, 0)), ('disc of 30 px', ellipse(15, 15, 0)), ('disc of 60 px', ellipse(30, 30, 0)),
    ('disc of 100 px', ellipse(50, 50, 0)), ('ellipse 60 x 40', ellipse(30, 20, 0)), ('ellipse 60 x 40 at 30', ellipse(30, 20, 30)),
    ('ellipse 100 x 40 at 71', ellipse(50, 20, 71)), ('ellipse 24 x 12 at 12', ellipse(12, 6, 12)), ('square of 60', box(60, 60, 0)),
    ('square of 60 at 45', box(60, 60, 45)), ('square of 60 at 17', box(60, 60, 17)), ('box 80 x 30 at 63', box(80, 30, 63)),
    ('cut disc of 80', cut_disc(40, 20, 0)), ('cut disc of 80 at 40', cut_disc(40, 20, 40)), ('cut disc of 50 at 111', cut_disc(25, 14, 111)),
    ('angle iron of 80', angle_iron(80, 25, 20)), ('crescent', crescent(45, 30, 25)),
]

rows = -(-len(SHAPES) // COLUMNS)
sheet = np.zeros((rows * CELL, COLUMNS * CELL), np.uint8)
records = []
for k, (name, (inside, true)) in enumerate(SHAPES):
    top, left = k // COLUMNS * CELL, k % COLUMNS * CELL
    # Centres off the lattice by an amount that differs from shape to shape.
    cx, cy = 63.5 + 0.37 * math.sin(7.1 * k), 63.5 + 0.41 * math.cos(5.3 * k)
    y, x = np.mgrid[0:CELL, 0:CELL].astype(float)
    mask = inside(x - cx, y - cy)
    sheet[top:top + CELL, left:left + CELL] = mask * 255
    (r,) = regionprops(label(mask, connectivity=2))
    m = r.moments_central / r.moments_central[0, 0]
    records.append({
        'name': name, 'area': int(r.area), 'x': round(r.centroid[1] + left, 4), 'y': round(r.centroid[0] + top, 4),
        'feretDiameterMax': round(float(r.feret_diameter_max), 4), 'perimeter': round(float(perimeter(mask, 4)), 4),
        'perimeterCrofton': round(float(perimeter_crofton(mask, 4)), 4), 'solidity': round(float(r.solidity), 5),
        'xx': round(float(m[0, 2]), 4), 'xy': round(float(m[1, 1]), 4), 'yy': round(float(m[2, 0]), 4),
        'true': true and {key: round(value, 4) for key, value in true.items()},
    })

cv2.imwrite(os.path.join(HERE, '..', 'data', 'shapes', 'shapes.png'), sheet, [cv2.IMWRITE_PNG_BILEVEL, 1])
with open(os.path.join(HERE, 'skimage-regionprops.json'), 'w') as out:
    json.dump({'by': f'scikit-image {skimage.__version__}', 'script': 'tests/reference/skimage-regionprops.py', 'shapes': records}, out, indent=1)
    out.write('\n')
print(f'scikit-image {skimage.__version__}: {len(records)} shapes')
