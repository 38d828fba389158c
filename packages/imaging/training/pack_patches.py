"""Pack the objects of drawn slides for train_refiner.py: one grey patch each, and the truth outline in it.

  pack_patches.py OUT.npz SLIDES [SLIDES ...] [--most 12000] [--seed 1]
SLIDES are folders of drawn slides with truth (drawer/render.py, any seed but the tuning seed). Patches are kept as JPEG, so that the
file is small enough to travel.
"""
import argparse
import glob
import io
import json
import os
import cv2
import numpy as np
from PIL import Image

PATCH = 144                     # side of a patch in pixels; the object is WIDEST wide in it at most
WIDEST = 96
VERTICES = 96


def resample(outline, n):
    closed = np.vstack([outline, outline[:1]])
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    t = np.linspace(0, along[-1], n, endpoint=False)
    return np.stack([np.interp(t, along, closed[:, 0]), np.interp(t, along, closed[:, 1])], 1)


def patches_of(path):
    """(patch uint8, outline) of every object of a slide that is whole and not hopelessly blurred."""
    with open(path) as f:
        truth = json.load(f)
    if not truth.get('objects'):
        return
    luma = cv2.imread(path.replace('.json', '.jpg')).astype(np.float32) @ np.array([0.114, 0.587, 0.299], np.float32)
    for o in truth['objects']:
        if o['blur_radius_um'] > 0.45 * o['length_um'] or o['cut_by_frame']:
            continue
        p = np.array(o['polygon'])
        lo, hi = p.min(0), p.max(0)
        scale = min(1.0, WIDEST / float((hi - lo).max()))
        middle = (lo + hi) / 2
        M = np.array([[scale, 0, (PATCH - 1) / 2 - scale * middle[0]], [0, scale, (PATCH - 1) / 2 - scale * middle[1]]])
        source = luma
        if scale < 0.75:                       # shrink without aliasing
            x0, y0 = np.maximum(np.floor(middle - 0.5 * PATCH / scale - 4).astype(int), 0)
            x1, y1 = np.ceil(middle + 0.5 * PATCH / scale + 4).astype(int)
            source = cv2.GaussianBlur(luma[y0:y1, x0:x1], (0, 0), 0.4 / scale)
            M = M @ np.array([[1, 0, x0], [0, 1, y0], [0, 0, 1]])
        patch = cv2.warpAffine(source, M, (PATCH, PATCH), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        yield np.clip(patch + 0.5, 0, 255).astype(np.uint8), resample((p - middle) * scale + (PATCH - 1) / 2, VERTICES)


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('out')
    ap.add_argument('slides', nargs='+')
    ap.add_argument('--most', type=int, default=12000)
    ap.add_argument('--seed', type=int, default=1)
    a = ap.parse_args()
    items = [item for folder in a.slides for path in sorted(glob.glob(os.path.join(folder, '**', '*.json'), recursive=True)) for item in patches_of(path)]
    keep = np.random.default_rng(a.seed).permutation(len(items))[:a.most]
    jpegs = []
    for i in keep:
        buffer = io.BytesIO()
        Image.fromarray(items[i][0]).save(buffer, 'JPEG', quality=92)
        jpegs.append(buffer.getvalue())
    np.savez(a.out, jpegs=np.frombuffer(b''.join(jpegs), np.uint8), sizes=np.array([len(j) for j in jpegs]),
             outlines=np.array([items[i][1] for i in keep], np.float32))
    print(len(items), 'objects,', len(keep), 'kept')


if __name__ == '__main__':
    main()
