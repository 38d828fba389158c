#!/usr/bin/python3
"""Writes the small TIFF files of this folder with an independent writer, tifffile 2023.2.3 on numpy 1.24.

    /usr/bin/python3 make-tiffs.py

The ramp is value(row, column) = trunc(1.3 * (64 * row + column)) on 64 x 48 px, so it ends at 3992 of 4095.
"""
import os

import numpy as np
import tifffile

os.chdir(os.path.dirname(os.path.abspath(__file__)))
ramp = (np.arange(64 * 48).reshape(48, 64) * 1.3).astype(np.uint16)
three = np.stack([ramp, ramp // 2, ramp // 4], -1)
small = dict(compression='zlib')
tifffile.imwrite('twelve-in-sixteen.tif', ramp, photometric='minisblack', **small)
tifffile.imwrite('twelve-in-sixteen-rgb.tif', three, photometric='rgb', **small)
tifffile.imwrite('twelve-in-sixteen-planar.tif', np.moveaxis(three, -1, 0), photometric='rgb', planarconfig='separate', **small)
tifffile.imwrite('white-is-zero.tif', 65535 - ramp * 16, photometric='miniswhite', **small)
tifffile.imwrite('signed.tif', ramp.astype(np.int16), **small)
tifffile.imwrite('real.tif', (ramp / 4000).astype(np.float32), **small)
tifffile.imwrite('thirty-two.tif', ramp.astype(np.uint32) * 1000, **small)
tifffile.imwrite('big.tif', (ramp >> 4).astype(np.uint8), bigtiff=True, resolution=(25400 / 0.6, 25400 / 0.6), resolutionunit='INCH')
with tifffile.TiffWriter('three-pages.tif') as t:
    for k in range(3):
        t.write((ramp >> 4).astype(np.uint8) // 2 + 40 * k, resolution=(10000 / 1.5, 10000 / 1.5), resolutionunit='CENTIMETER', **small)
with tifffile.TiffWriter('thumbnail-first.tif') as t:
    t.write(np.full((16, 20, 3), 9, np.uint8), photometric='rgb', subfiletype=1)
    t.write(np.full((48, 64, 3), 100, np.uint8), photometric='rgb')
palette = np.zeros((3, 256), np.uint16)
palette[0] = np.arange(256) * 257
palette[1] = 65535 - palette[0]
palette[2] = 1000
tifffile.imwrite('palette.tif', (ramp >> 4).astype(np.uint8), photometric='palette', colormap=palette)
tifffile.imwrite('one-bit.tif', ramp > 2000, photometric='minisblack')
