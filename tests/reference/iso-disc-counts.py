"""Counts the discs on every page of tests/data/iso-tr-19672-discs with scikit-image and writes iso-disc-counts.json.

Debian: apt-get install python3-skimage python3-opencv; then /usr/bin/python3 tests/reference/iso-disc-counts.py
"""
import glob
import json
import os

import cv2
import numpy as np
import skimage
from skimage.measure import label, regionprops

HERE = os.path.dirname(os.path.abspath(__file__))
pages = {}
for path in sorted(glob.glob(os.path.join(HERE, '..', 'data', 'iso-tr-19672-discs', '*.tif'))):
    ok, images = cv2.imreadmulti(path, flags=cv2.IMREAD_GRAYSCALE)
    if not ok:
        raise SystemExit(f'{path} cannot be read')
    counts, medians = [], []
    for image in images:
        regions = regionprops(label(image < 128, connectivity=2))
        counts.append(len(regions))
        medians.append(round(float(np.median([r.equivalent_diameter for r in regions])), 4))
    pages[os.path.basename(path)] = {'discs': counts, 'medianEquivalentDiameterPx': medians}

with open(os.path.join(HERE, 'iso-disc-counts.json'), 'w') as out:
    json.dump({'by': f'scikit-image {skimage.__version__}', 'script': 'tests/reference/iso-disc-counts.py', 'pages': pages}, out, indent=1)
    out.write('\n')
