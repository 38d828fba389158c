"""Training records: a picture at a storage scale, a label map at half that, and the outlines behind the labels.

record = dict(
  picture  uint8 (H, W, 3) RGB
  um       micrometres per pixel of `picture`
  label    uint16 (H // 2, W // 2), 0 is ground, k + 1 is object k
  outlines float32 (n, VERTICES, 2) x, y in pixels of `picture`, clipped to what is visible
  inner    float32 (n,) radius in pixels of the largest disc inside each outline
  kind     uint8 (n,) index into CLASSES
  axis     float32 (n,) hinge direction in radians clockwise from x, NaN when there is none
  weight   float32 (n,) 1 for a fair object, less for one that is barely seen, 0 for one nobody could judge
  field    float32 (3,) centre x, y and radius in pixels, NaN for a full frame)
"""
import io
import math
import cv2
import numpy as np
from PIL import Image

CLASSES = ['egg_unfertilised', 'egg_fertilised', 'two_cell', 'four_cell', 'morula', 'blastula', 'gastrula', 'trochophore',
           'd_hinge', 'early_umbo', 'umbo', 'eyed', 'empty_shell', 'dead', 'bubble', 'ciliate', 'fibre', 'debris', 'alga', 'ground']
VERTICES = 64
SMALLEST_ALGA_UM = 6.0        # radius given to algae, which are smaller than a cell of the finder's output


def jpeg_round_trip(bgr, quality):
    """What the camera's JPEG leaves of a picture, as RGB."""
    buffer = io.BytesIO()
    Image.fromarray(np.ascontiguousarray(bgr[..., ::-1])).save(buffer, 'JPEG', quality=int(quality), subsampling=2)
    return np.asarray(Image.open(io.BytesIO(buffer.getvalue())).convert('RGB'))


def resample(outline, n=VERTICES):
    closed = np.vstack([outline, outline[:1]])
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    t = np.linspace(0, along[-1], n, endpoint=False)
    return np.stack([np.interp(t, along, closed[:, 0]), np.interp(t, along, closed[:, 1])], 1)


def clip_to_frame(outline, width, height):
    """Sutherland-Hodgman against the picture's edges."""
    for axis, limit, sign in ((0, -0.5, 1), (0, width - 0.5, -1), (1, -0.5, 1), (1, height - 0.5, -1)):
        if len(outline) < 3:
            return outline
        inside = (outline[:, axis] - limit) * sign >= 0
        if inside.all():
            continue
        out = []
        for i in range(len(outline)):
            a, b = outline[i - 1], outline[i]
            if inside[i] != inside[i - 1]:
                out.append(a + (b - a) * ((limit - a[axis]) / (b[axis] - a[axis])))
            if inside[i]:
                out.append(b)
        outline = np.array(out).reshape(-1, 2)
    return outline


def clip_to_field(outline, field):
    offset = outline - field[:2]
    r = np.hypot(*offset.T)
    return field[:2] + offset * np.minimum(1, field[2] / np.maximum(r, 1e-9))[:, None]


def build(rgb, um, shapes, field=None):
    """shapes: list of dict(outline (m, 2) px, kind name, axis or None, weight, label_only). Returns a record."""
    height, width = rgb.shape[:2]
    h2, w2 = height // 2, width // 2
    label = np.zeros((h2, w2), np.uint16)
    depth = np.zeros((h2, w2), np.float32)
    outlines, inner, kind, axis, weight = [], [], [], [], []
    for shape in shapes:
        outline = np.asarray(shape['outline'], np.float64)
        if field is not None:
            outline = clip_to_field(outline, field)
        outline = clip_to_frame(outline, width, height)
        if len(outline) < 3 or np.ptp(outline[:, 0]) < 1.5 or np.ptp(outline[:, 1]) < 1.5:
            continue
        half = (outline + 0.5) / 2 - 0.5
        x0, y0 = np.maximum(np.floor(half.min(0)).astype(int) - 2, 0)
        x1, y1 = np.minimum(np.ceil(half.max(0)).astype(int) + 3, [w2, h2])
        if x1 - x0 < 2 or y1 - y0 < 2:
            continue
        fine = 4
        mask = np.zeros(((y1 - y0) * fine, (x1 - x0) * fine), np.uint8)
        cv2.fillPoly(mask, [np.round(((half - [x0, y0] + 0.5) * fine - 0.5) * 16).astype(np.int32)], 1, cv2.LINE_8, 4)
        distance = cv2.distanceTransform(cv2.copyMakeBorder(mask, 1, 1, 1, 1, cv2.BORDER_CONSTANT), cv2.DIST_L2, 3)[1:-1, 1:-1]
        radius = float(distance.max()) / fine
        if radius <= 0:
            continue
        near = distance[fine // 2::fine, fine // 2::fine] / (radius * fine)
        if shape.get('label_only'):
            near = np.minimum(near, 0.02)
        here = (near > 0) & (near > depth[y0:y1, x0:x1])
        depth[y0:y1, x0:x1][here] = near[here]
        label[y0:y1, x0:x1][here] = len(outlines) + 1
        outlines.append(resample(outline))
        inner.append(radius * 2)
        kind.append(CLASSES.index(shape['kind']))
        axis.append(np.nan if shape.get('axis') is None else shape['axis'])
        weight.append(-1.0 if shape.get('label_only') else shape.get('weight', 1.0))
    return dict(picture=np.ascontiguousarray(rgb), um=float(um), label=label, outlines=np.array(outlines, np.float32).reshape(-1, VERTICES, 2),
                inner=np.array(inner, np.float32), kind=np.array(kind, np.uint8), axis=np.array(axis, np.float32), weight=np.array(weight, np.float32),
                field=np.full(3, np.nan, np.float32) if field is None else np.array(field, np.float32))


def ribbon(path, width):
    """Outline of a stroke of the given width along a path."""
    path = np.asarray(path, float)
    step = np.gradient(path, axis=0)
    normal = np.stack([-step[:, 1], step[:, 0]], 1) / np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    return np.vstack([path + normal * width / 2, (path - normal * width / 2)[::-1]])


def from_slide(bgr, quality, truth, storage_um):
    """Record of a drawn slide at `storage_um`, or at its own scale when that is coarser."""
    rgb = jpeg_round_trip(bgr, quality)
    um = truth['um_per_px']
    height, width = rgb.shape[:2]
    if um < storage_um * 0.95:
        w, h = round(width * um / storage_um), round(height * um / storage_um)
        rgb = cv2.resize(rgb, (w, h), interpolation=cv2.INTER_AREA)
    ratio = np.array([rgb.shape[1] / width, rgb.shape[0] / height])
    to = lambda p: (np.asarray(p, float) + 0.5) * ratio - 0.5  # noqa: E731
    shapes = []
    for path in truth['non_targets']:
        if 'path_px' in path:
            shapes.append(dict(outline=to(ribbon(path['path_px'], max(8.0, path['width_um']) / um)), kind='fibre', label_only=True))
        else:
            shapes.append(dict(outline=to(path['polygon']), kind=path['class']))
    t = np.linspace(0, 2 * math.pi, 12, endpoint=False)
    for x, y, d in truth['algae_px_d_um']:
        r = max(d / 2, SMALLEST_ALGA_UM) / um
        shapes.append(dict(outline=to(np.stack([x + r * np.cos(t), y + r * np.sin(t)], 1)), kind='alga', weight=0.3))
    for o in truth['objects']:
        blurred = o['blur_radius_um'] / o['length_um']
        shapes.append(dict(outline=to(o['polygon']), kind=o['class'], axis=math.radians(o['axis_deg']) if 'tilt_deg' in o else None,
                           weight=1.0 if blurred < 0.3 else 0.4 if blurred < 0.6 else 0.0))
    field = None
    if truth['field']:
        field = [*to(truth['field']['centre_px']), truth['field']['radius_px'] * ratio[0]]
    return build(rgb, um / ratio.mean(), shapes, field)
