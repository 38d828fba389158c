"""Augmented training crops and their targets, made on the accelerator from a growing store of records."""
import glob
import math
import os
import pickle
import threading
import time
import numpy as np
import torch
import torch.nn.functional as F
from net import CELL, CLASSES, SPOKE_UNIT, SPOKES, WORKING_UM

VERTICES = 64
NOT_LARVA = CLASSES.index('bubble')
FIBRE = CLASSES.index('fibre')


class Store:
    """All records on one device, flat: pictures, label maps and outlines, filled by a thread from a folder."""

    def __init__(self, device, bytes_, max_objects, max_records):
        self.device = device
        self.pixels = torch.empty(bytes_, dtype=torch.uint8, device=device)
        self.labels = torch.empty(bytes_ // 12 + 1024, dtype=torch.int32 if device == 'cpu' else torch.int16, device=device)
        self.outlines = torch.empty(max_objects, VERTICES, 2, device=device)
        self.objects = torch.empty(max_objects, 4, device=device)      # inner, kind, axis, weight
        self.records = torch.empty(max_records, 9, dtype=torch.float64, device=device)   # pixel and label offset, object offset, w, h, um, field
        self.n = self.used = self.used_labels = self.used_objects = 0
        self.by_kind = [[] for _ in CLASSES]                           # (record, x, y, size) of every object, by kind
        self.full = False

    def add(self, r):
        h, w = r['picture'].shape[:2]
        n = len(r['kind'])
        if self.used + h * w * 3 > len(self.pixels) or self.used_objects + n > len(self.outlines) or self.n >= len(self.records):
            self.full = True
            return
        dev = self.device
        self.pixels[self.used:self.used + h * w * 3] = torch.from_numpy(r['picture'].reshape(-1)).to(dev)
        lab = torch.from_numpy(r['label'].astype(np.int16).reshape(-1)).to(dev)
        self.labels[self.used_labels:self.used_labels + lab.numel()] = lab
        if n:
            self.outlines[self.used_objects:self.used_objects + n] = torch.from_numpy(r['outlines']).to(dev)
            self.objects[self.used_objects:self.used_objects + n] = torch.from_numpy(
                np.stack([r['inner'], r['kind'].astype(np.float32), r['axis'], r['weight']], 1)).to(dev)
        self.records[self.n] = torch.tensor([self.used, self.used_labels, self.used_objects, w, h, r['um'], *r['field'].tolist()], dtype=torch.float64, device=dev)
        for p, k, wt in zip(r['outlines'], r['kind'], r['weight']):
            if wt > 0.3 and k != FIBRE and CLASSES[k] != 'alga':
                lo, hi = p.min(0), p.max(0)
                self.by_kind[k].append((self.n, *(float(v) for v in (lo + hi) / 2), float((hi - lo).max()) * r['um']))
        self.used += h * w * 3
        self.used_labels += lab.numel()
        self.used_objects += n
        self.n += 1

    def fill_from(self, folder, go_on):
        """Read every record of a folder once; with `go_on` keep looking for new ones until the store is full."""
        known = set()
        while not self.full:
            new = [p for p in sorted(glob.glob(os.path.join(folder, '*.pickle'))) if p not in known]
            for path in new:
                with open(path, 'rb') as f:
                    self.add(pickle.load(f))
                known.add(path)
            if not go_on:
                break
            time.sleep(1.0)

    def fill_in_background(self, folder):
        threading.Thread(target=self.fill_from, args=(folder, True), daemon=True).start()


def choose(store, rng, n, size):
    """Places of n crops: record number, middle (x, y in stored pixels), stored pixels per crop pixel."""
    out = np.zeros((n, 4))
    meta = store.records[:store.n].cpu().numpy() if store.device == 'cpu' else store.host_meta()
    kinds = [k for k in range(len(CLASSES)) if store.by_kind[k]]
    larvae = [k for k in kinds if k < NOT_LARVA]
    others = [k for k in kinds if k >= NOT_LARVA]
    for i in range(n):
        u = rng.random()
        zoom = math.exp(rng.uniform(-0.33, 0.33))
        if u < 0.65 and larvae:
            pool = store.by_kind[int(rng.choice(larvae if u < 0.52 or not others else others))]
            rec, x, y, um = pool[int(rng.integers(len(pool)))]
            if rec >= len(meta):                          # put in by the filling thread a moment ago
                rec, x, y, um = pool[0] if pool[0][0] < len(meta) else (0, 0.0, 0.0, 60.0)
            if rng.random() < 0.10:                       # any object at any size: other species, no scale given
                zoom = WORKING_UM * math.exp(rng.uniform(math.log(15), math.log(230))) / um
                zoom = 1 / zoom
            x, y = x + rng.normal(0, size * 0.22), y + rng.normal(0, size * 0.22)
        else:
            rec = int(rng.integers(len(meta)))
            x, y = rng.uniform(0, meta[rec, 3]), rng.uniform(0, meta[rec, 4])
        if u > 0.97:
            zoom = math.exp(rng.uniform(-1.2, 0.9))
        out[i] = rec, x, y, WORKING_UM * zoom / meta[rec, 5]
    return out, meta


def spokes_of(vertices, middles):
    """Length of every spoke from each middle (n, 2) to its closed outline (n, V, 2), nearest crossing. Returns (n, SPOKES)."""
    q = vertices - middles[:, None]
    a = torch.arange(SPOKES, device=q.device) * (2 * math.pi / SPOKES)
    dx, dy = a.cos()[None, :, None], a.sin()[None, :, None]
    qx, qy = q[:, None, :, 0], q[:, None, :, 1]
    side = dx * qy - dy * qx
    nx, ny, nside = qx.roll(-1, 2), qy.roll(-1, 2), side.roll(-1, 2)
    crossing = (side <= 0) != (nside <= 0)
    denominator = dx * (ny - qy) - dy * (nx - qx)
    r = (qx * ny - qy * nx) / torch.where(denominator.abs() < 1e-9, torch.full_like(denominator, 1e-9), denominator)
    r = torch.where(crossing & (r > 0), r, torch.full_like(r, 1e6))
    return r.amin(2)


class Cropper:
    def __init__(self, store, size=320, max_cells=98304, compile_=False):
        self.store, self.size, self.max_cells = store, size, max_cells
        self.spokes = torch.compile(spokes_of, dynamic=False) if compile_ else spokes_of

    def batch(self, rng, n):
        """(picture (n, 3, size, size), targets): targets hold one row per cell."""
        s, dev, size = self.store, self.store.device, self.size
        places, meta = choose(s, rng, n, size)
        g = torch.Generator(device=dev).manual_seed(int(rng.integers(1 << 31)))
        angle = rng.uniform(0, 2 * math.pi, n)
        flip = np.where(rng.random(n) < 0.5, -1.0, 1.0)
        k = places[:, 3]
        m = np.stack([np.stack([k * np.cos(angle) * flip, -k * np.sin(angle)], 1), np.stack([k * np.sin(angle) * flip, k * np.cos(angle)], 1)], 1)
        M = torch.tensor(m, dtype=torch.float32, device=dev)                     # crop px -> stored px
        C = torch.tensor(places[:, 1:3], dtype=torch.float32, device=dev)
        rec = torch.tensor(places[:, 0], dtype=torch.int64, device=dev)
        R = s.records[rec]
        w, h = R[:, 3].float(), R[:, 4].float()
        half = (size - 1) / 2
        at = torch.arange(size, device=dev, dtype=torch.float32) - half
        gy, gx = torch.meshgrid(at, at, indexing='ij')
        P = torch.einsum('nij,jhw->nihw', M, torch.stack([gx, gy])) + C[:, :, None, None]
        picture, inside = self.sample(R, P, w, h)
        cells = self.cell_targets(R, M, C, w, h, half)
        return self.dress(picture, inside, R, P, rng, g), cells

    def sample(self, R, P, w, h):
        """Bilinear picture 0..1 and a mask of what lies inside the stored picture."""
        x, y = P[:, 0], P[:, 1]
        W, H = w.view(-1, 1, 1), h.view(-1, 1, 1)
        inside = (x > -0.5) & (x < W - 0.5) & (y > -0.5) & (y < H - 0.5)
        x, y = torch.minimum(x.clamp(min=0), W - 1.001), torch.minimum(y.clamp(min=0), H - 1.001)
        x0, y0 = x.floor(), y.floor()
        fx, fy = (x - x0)[:, None], (y - y0)[:, None]
        base = R[:, 0].long().view(-1, 1, 1)
        i = base + (y0.long() * W.long() + x0.long()) * 3
        right, down = 3, W.long() * 3
        px = self.store.pixels
        take = lambda j: torch.stack([px[j], px[j + 1], px[j + 2]], 1).float()  # noqa: E731
        top = take(i) * (1 - fx) + take(i + right) * fx
        low = take(i + down) * (1 - fx) + take(i + down + right) * fx
        return (top * (1 - fy) + low * fy) / 255, inside

    def cell_targets(self, R, M, C, w, h, half):
        s, dev = self.store, self.store.device
        m = self.size // CELL
        at = (torch.arange(m, device=dev, dtype=torch.float32) + 0.5) * CELL - 0.5 - half
        gy, gx = torch.meshgrid(at, at, indexing='ij')
        grid = torch.stack([gx, gy])
        P = torch.einsum('nij,jhw->nihw', M, grid) + C[:, :, None, None]
        x, y = P[:, 0], P[:, 1]
        W, H = w.view(-1, 1, 1), h.view(-1, 1, 1)
        inside = (x > -0.5) & (x < W - 0.5) & (y > -0.5) & (y < H - 0.5)
        w2, h2 = (W // 2).long(), (H // 2).long()
        lx = torch.minimum((x / 2).floor().long().clamp(min=0), w2 - 1)
        ly = torch.minimum((y / 2).floor().long().clamp(min=0), h2 - 1)
        label = s.labels[R[:, 1].long().view(-1, 1, 1) + ly * w2 + lx].long() & 0xFFFF
        label = torch.where(inside, label, torch.zeros_like(label))
        n = label.shape[0]
        kind = torch.full((n, m, m), CLASSES.index('ground'), dtype=torch.long, device=dev)
        centre = torch.zeros(n, m, m, device=dev)
        weight = torch.ones(n, m, m, device=dev)
        where = label.view(-1).nonzero()[:, 0]
        if where.numel() > self.max_cells:
            drop = torch.randperm(where.numel(), device=dev)
            weight.view(-1)[where[drop[self.max_cells:]]] = 0
            where = where[drop[:self.max_cells]]
        b = where // (m * m)
        obj = R[b, 2].long() + label.view(-1)[where] - 1
        info = s.objects[obj]
        Minv = torch.linalg.inv(M)[b]
        outline = torch.einsum('nij,nvj->nvi', Minv, s.outlines[obj] - C[b][:, None])
        middle = grid.view(2, -1).T[where % (m * m)]
        if where.numel() < self.max_cells and dev != 'cpu':       # fixed shape for the compiled kernel
            pad = self.max_cells - where.numel()
            spokes = self.spokes(F.pad(outline, (0, 0, 0, 0, 0, pad)), F.pad(middle, (0, 0, 0, pad)))[:where.numel()]
        else:
            spokes = self.spokes(outline, middle)
        k = torch.linalg.det(M).abs().sqrt()[b]
        centred = (spokes.amin(1) / (info[:, 0] / k)).clamp(0, 1)
        fibre = info[:, 3] < 0
        centred = torch.where(fibre, torch.zeros_like(centred), centred)
        centre.view(-1)[where] = centred
        kind.view(-1)[where] = info[:, 1].long()
        weight.view(-1)[where] = torch.where(fibre, torch.ones_like(centred), info[:, 3])
        a = torch.arange(SPOKES, device=dev) * (2 * math.pi / SPOKES)
        end = middle[:, None] + spokes[..., None] * torch.stack([a.cos(), a.sin()], 1)
        seen = (end.abs() < half + 0.5).all(2) & (spokes < 1e5)
        direction = torch.einsum('nij,nj->ni', Minv, torch.stack([info[:, 2].cos(), info[:, 2].sin()], 1))
        twice = 2 * torch.atan2(direction[:, 1], direction[:, 0])
        axis = torch.stack([twice.cos(), twice.sin()], 1)
        return dict(kind=kind, centre=centre, weight=weight, where=where, spokes=spokes / SPOKE_UNIT, seen=seen, axis=axis,
                    has_axis=~torch.isnan(info[:, 2]), object_weight=info[:, 3].clamp(min=0))

    def dress(self, x, inside, R, P, rng, g):
        """Light, colour, blur and noise; ground outside the picture and half the time outside a round field."""
        n, dev, size = x.shape[0], x.device, self.size
        r = lambda lo, hi, *shape: torch.rand(n, *shape, device=dev, generator=g) * (hi - lo) + lo  # noqa: E731
        on = lambda p: (torch.rand(n, 1, 1, 1, device=dev, generator=g) < p).float()  # noqa: E731
        x = x * r(0.85, 1.15, 3, 1, 1)
        x = x.clamp(0, 1.2) ** torch.exp(r(-0.35, 0.35, 1, 1, 1))
        grey = on(0.12)
        x = x * (1 - grey) + x.mean(1, keepdim=True) * grey
        turn = on(0.15)                                            # channels in another order: other stains and lights
        x = x * (1 - turn) + x[:, torch.randperm(3, device='cpu')] * turn
        dark = on(0.13)
        x = x * (1 - dark) + (1 - x) * dark
        at = torch.linspace(-1, 1, size, device=dev)
        slope = (at.view(1, 1, 1, -1) * r(-1, 1, 1, 1, 1) + at.view(1, 1, -1, 1) * r(-1, 1, 1, 1, 1)) * r(0, 0.12, 1, 1, 1)
        x = x * (1 + slope) * r(0.7, 1.15, 1, 1, 1)
        for lo, hi, p in ((0.4, 0.9, 0.35), (0.9, 1.6, 0.12)):     # softer pictures
            sigma = float(rng.uniform(lo, hi))
            t = torch.arange(-4, 5, device=dev, dtype=torch.float32)
            kernel = torch.exp(-t * t / (2 * sigma * sigma))
            kernel = (kernel / kernel.sum()).view(1, 1, 1, -1).repeat(3, 1, 1, 1)
            soft = F.conv2d(F.conv2d(F.pad(x, (4, 4, 4, 4), mode='replicate'), kernel, groups=3), kernel.transpose(2, 3), groups=3)
            pick = on(p)
            x = x * (1 - pick) + soft * pick
        x = x + torch.randn(x.shape, device=dev, generator=g) * r(0, 0.03, 1, 1, 1) * on(0.6)
        x = self.stamp_text(x, rng)
        x = x.clamp(0, 1)
        field = R[:, 6:9].float()
        far = ((P - field[:, :2, None, None]) ** 2).sum(1).sqrt() > field[:, 2].view(-1, 1, 1)
        blank = (far & (on(0.5).view(-1, 1, 1) > 0)) | ~inside
        ground = ~blank & ~far
        x = normalise_inside(x, ground)
        x = x * torch.exp(torch.randn(n, 1, 1, 1, device=dev, generator=g) * 0.2)
        return torch.where(blank[:, None], torch.zeros_like(x), x)

    def stamp_text(self, x, rng):
        """Burnt-in bars and figures on some crops: they are ground."""
        size = self.size
        for i in np.flatnonzero(rng.random(x.shape[0]) < 0.06):
            tone = float(rng.choice([0.0, 1.0, rng.random()]))
            w, y, x0 = int(rng.integers(20, size)), int(rng.integers(0, size - 6)), int(rng.integers(-40, size - 20))
            x[i, :, y:y + int(rng.integers(1, 6)), max(0, x0):x0 + w] = tone
            cx = max(0, x0) + int(rng.integers(0, 60))
            for _ in range(int(rng.integers(0, 7))):                # strokes standing for figures
                h = int(rng.integers(5, 16))
                top = max(0, y - h - 4)
                x[i, :, top:top + h, cx:cx + 2] = tone
                if rng.random() < 0.6:
                    x[i, :, top:top + 2, cx:cx + h // 2] = tone
                if rng.random() < 0.5:
                    x[i, :, top + h - 2:top + h, cx:cx + h // 2] = tone
                cx += h
        return x


def normalise_inside(x, ground):
    """`normalise` with the median and deviation of the marked pixels only; whole pictures where too few are marked."""
    n = x.shape[0]
    few = ground.flatten(1).float().mean(1) < 0.1
    use = ground | few.view(-1, 1, 1)
    small, keep = x[:, :, ::4, ::4].flatten(2), use[:, ::4, ::4].flatten(1)
    holes = torch.where(keep[:, None], small, torch.full_like(small, float('nan')))
    med = holes.nanmedian(2).values.view(n, 3, 1, 1)
    away = (small - med.flatten(2)).abs() * keep[:, None]
    mad = away.sum((1, 2)) / (3 * keep.sum(1).clamp(min=1))
    return (x - med) / (mad.view(n, 1, 1, 1) + 0.03)
