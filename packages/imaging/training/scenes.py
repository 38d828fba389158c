"""Painted scenes beside the drawn slides: eggs and embryos of other animals and lightings, round cells in a counting chamber.

They keep the finder from learning one drawer's look: bright eggs on a dark ground with scale bars and text, torn pieces, lumps of
cleaving cells, small round cells with a bright middle between chamber lines. All shapes and tones are random.
"""
import math
import cv2
import numpy as np
from records import build

TAU = 2 * math.pi


def smooth_noise(rng, h, w, cell):
    grid = rng.standard_normal((int(h / cell) + 3, int(w / cell) + 3)).astype(np.float32)
    return cv2.resize(grid, (w, h), interpolation=cv2.INTER_CUBIC)


def wavy(rng, r, rough, lumps, elong):
    t = np.arange(120) / 120 * TAU
    radius = np.ones(120)
    for k in range(2, 8):
        radius += rng.normal(0, rough / k) * np.cos(k * t + rng.uniform(0, TAU))
    if lumps:
        n = int(rng.integers(9, 26))
        radius += rng.uniform(0.01, 0.05) * np.abs(np.cos(n / 2 * t + rng.uniform(0, TAU)))
    p = np.stack([r * radius * np.cos(t) * math.sqrt(elong), r * radius * np.sin(t) / math.sqrt(elong)], 1)
    a = rng.uniform(0, TAU)
    return p @ np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])


def cleaving(rng, r, cells):
    """Outer rim of touching discs, and the discs."""
    rr = r * (1.15 / cells ** 0.42)
    ring = [(0.0, 0.0, rr)] if cells > 6 else []
    n = cells - len(ring)
    spread = rr * (0.72 if cells == 2 else 0.95 if cells < 5 else 1.35)
    for k in range(n):
        a = k / n * TAU + rng.normal(0, 0.15)
        ring.append((spread * math.cos(a) * rng.uniform(0.9, 1.1), spread * math.sin(a) * rng.uniform(0.9, 1.1), rr * rng.uniform(0.8, 1.15)))
    t = np.arange(160) / 160 * TAU
    ux, uy = np.cos(t), np.sin(t)
    radius = np.full(160, rr * 0.35)
    for x, y, c in ring:
        b = x * ux + y * uy
        q = b * b - x * x - y * y + c * c
        ok = q > 0
        radius[ok] = np.maximum(radius[ok], b[ok] + np.sqrt(q[ok]))
    return np.stack([radius * ux, radius * uy], 1), ring


def torn(rng, r):
    t = np.linspace(rng.uniform(0.1, 0.6), rng.uniform(2.4, 4.4), 40)
    outer = np.stack([r * np.cos(t), r * np.sin(t)], 1) * (1 + 0.06 * np.cos(9 * t)[:, None])
    k = rng.uniform(0.35, 0.75)
    inner = outer[::-1] * k + rng.normal(0, 0.03 * r, outer.shape)
    p = np.vstack([outer, inner])
    return p - p.mean(0)


def stamp_mask(h, w, outline):
    mask = np.zeros((h, w), np.uint8)
    cv2.fillPoly(mask, [np.round(outline * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    return mask.astype(np.float32) / 255


def burnt_in_bar(rng, picture, bright):
    """Scale bar with a figure, as cameras write it."""
    h, w = picture.shape[:2]
    n = int(rng.integers(int(0.08 * w), int(0.35 * w)))
    x, y = int(rng.uniform(0.02, 0.95) * (w - n)), int(rng.choice([rng.uniform(0.03, 0.12), rng.uniform(0.85, 0.97)]) * h)
    tone = (1.0,) * 3 if bright else (0.0,) * 3
    thick = int(rng.integers(1, 5))
    cv2.line(picture, (x, y), (x + n, y), tone, thick)
    if rng.random() < 0.4:
        for e in (x, x + n):
            cv2.line(picture, (e, y - 4), (e, y + 4), tone, max(1, thick // 2))
    text = f'{rng.choice([10, 20, 50, 100, 200, 250, 500, 1000])} {rng.choice(["um", "microns", "mm"])}'
    cv2.putText(picture, text, (x + n // 4, y - 6 if rng.random() < 0.8 else y + 14), int(rng.integers(0, 8)), rng.uniform(0.3, 0.9), tone, int(rng.integers(1, 3)), cv2.LINE_AA)


def finish(rng, picture, shapes, um):
    if rng.random() < 0.8:
        picture = cv2.GaussianBlur(picture, (0, 0), rng.uniform(0.4, 1.3))
    picture += rng.normal(0, rng.uniform(0.002, 0.02), picture.shape)
    return build((np.clip(picture, 0, 1) * 255 + 0.5).astype(np.uint8), um, shapes)


def big_eggs(rng):
    """Eggs, embryos, torn pieces and bubbles 20-230 px wide, bright on dark or dark on light."""
    h, w = 1000, 1400
    dark = rng.random() < 0.75
    mean = math.exp(rng.uniform(math.log(26), math.log(200)))
    ground = rng.uniform(0.0, 0.12) if dark else rng.uniform(0.6, 0.95)
    cast = 1 + rng.normal(0, 0.25 if dark else 0.06, 3)
    picture = np.ones((h, w, 3), np.float32) * ground * cast * (1 + 0.15 * smooth_noise(rng, h, w, 300))[..., None]
    tone = rng.uniform(0.35, 0.95, 3) * rng.uniform(0.6, 1.1) if dark else ground * rng.uniform(0.25, 0.8, 3)
    yolk = tone * (np.array([0.95, 0.8, 0.5]) if rng.random() < 0.6 else rng.uniform(0.6, 1.1, 3))
    rim = np.clip(tone * rng.uniform(0.9, 1.5) + (np.array([-0.1, 0, 0.2]) if rng.random() < 0.5 else 0), 0, 1) if dark else tone * rng.uniform(0.4, 1)
    grain, patch = smooth_noise(rng, h, w, rng.uniform(1.5, 5)), smooth_noise(rng, h, w, mean * 0.35)
    shapes, placed = [], []
    share = dict(p_lump=rng.choice([0, 0.8]), p_cleave=rng.choice([0, 0.3, 0.8]), p_torn=rng.choice([0, 0.1, 0.25]), rough=rng.choice([0.02, 0.08, 0.2]))
    for _ in range(int(min(60, rng.uniform(0.1, 0.55) * h * w / (mean * mean)))):
        d = mean * (1 + rng.normal(0, 0.12))
        touching = placed and rng.random() < 0.55
        for _try in range(20):
            if touching:
                x, y, r0 = placed[int(rng.integers(len(placed)))]
                a = rng.uniform(0, TAU)
                x, y = x + (r0 + d / 2) * rng.uniform(0.93, 1.06) * math.cos(a), y + (r0 + d / 2) * rng.uniform(0.93, 1.06) * math.sin(a)
            else:
                x, y = rng.uniform(-0.02 * w, 1.02 * w), rng.uniform(-0.02 * h, 1.02 * h)
            if all(math.hypot(x - p, y - q) > 0.90 * (r + d / 2) for p, q, r in placed):
                break
        else:
            continue
        u = rng.random()
        ring, kind = [], 'egg_unfertilised'
        if u < share['p_torn']:
            small = rng.random() < 0.6
            p = torn(rng, d / 2 * (rng.uniform(0.2, 0.42) if small else 1.0)) if rng.random() < 0.6 else wavy(rng, d * (0.12 if small else 0.42), 0.5, True, 1.4)
            kind = 'debris' if small else 'dead'
        elif u < share['p_torn'] + share['p_cleave']:
            cells = int(rng.choice([2, 2, 3, 4, 4, 8, 12, 18]))
            p, ring = cleaving(rng, d / 2, cells)
            kind = 'two_cell' if cells < 3 else 'four_cell' if cells < 8 else 'morula'
        else:
            p = wavy(rng, d / 2, share['rough'], rng.random() < share['p_lump'], 1 + abs(rng.normal(0, 0.12)))
        p = p + [x, y]
        m = stamp_mask(h, w, p)
        x0, y0 = np.maximum(np.floor(p.min(0)).astype(int) - 2, 0)
        x1, y1 = np.minimum(np.ceil(p.max(0)).astype(int) + 3, [w, h])
        if x1 - x0 < 4 or y1 - y0 < 4:
            continue
        box = (slice(y0, y1), slice(x0, x1))
        mb = m[box]
        edge = np.clip(cv2.distanceTransform((mb > 0.5).astype(np.uint8), cv2.DIST_L2, 3) / (0.12 * d), 0, 1)
        shade = 1 + rng.uniform(0.05, 0.3) * patch[box] + rng.uniform(0.03, 0.15) * grain[box]
        for cx, cy, cr in ring:
            yy, xx = np.mgrid[y0:y1, x0:x1]
            q = np.hypot(xx - x - cx, yy - y - cy) / cr
            shade = shade * (1 - 0.35 * np.exp(-((q - 1) / 0.07) ** 2))
        body = (rim * (1 - edge)[..., None] + yolk * edge[..., None]) * shade[..., None] * rng.uniform(0.8, 1.15)
        picture[box] = picture[box] * (1 - mb[..., None]) + body * mb[..., None]
        placed.append((x, y, d / 2))
        shapes.append(dict(outline=p, kind=kind))
    if dark and rng.random() < 0.6:                        # glow round bright things
        picture += rng.uniform(0.02, 0.12) * cv2.GaussianBlur(picture, (0, 0), rng.uniform(4, 25))
    for _ in range(int(rng.integers(0, 8))):               # bubbles: dark ring with a bright crescent
        r, x, y = math.exp(rng.uniform(math.log(4), math.log(28))), rng.uniform(0, w), rng.uniform(0, h)
        cv2.circle(picture, (int(x * 16), int(y * 16)), int(r * 16), [float(v) for v in picture[int(y) % h, int(x) % w] * 0.3], max(1, int(r / 4)), cv2.LINE_AA, 4)
        a = rng.uniform(0, 360)
        cv2.ellipse(picture, (int(x), int(y)), (int(r * 0.7), int(r * 0.7)), a, 0, rng.uniform(40, 120), (1, 1, 1), max(1, int(r / 5)), cv2.LINE_AA)
        t = np.linspace(0, TAU, 24, endpoint=False)
        shapes.append(dict(outline=np.stack([x + r * np.cos(t), y + r * np.sin(t)], 1), kind='bubble'))
    for _ in range(int(rng.choice([0, 20, 150]))):         # specks, sharp and soft
        x, y, r = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0.5, 4)
        tone_ = rng.uniform(0.2, 1) if dark else rng.uniform(0, 0.5)
        cv2.circle(picture, (int(x * 16), int(y * 16)), int(r * 16), (tone_,) * 3, -1, cv2.LINE_AA, 4)
    if rng.random() < 0.6:
        burnt_in_bar(rng, picture, dark)
    return finish(rng, picture, shapes, 2.5)


def chamber_lines(rng, picture):
    h, w = picture.shape[:2]
    style = rng.choice(['dark', 'bright', 'both'])
    pitch = rng.uniform(120, 420)
    a = math.radians(rng.normal(0, 2))
    for axis in (0, 1):
        o = rng.uniform(0, pitch)
        for k in range(-1, int(max(h, w) / pitch) + 2):
            for j in range(int(rng.choice([1, 1, 2, 3]))):
                c = o + k * pitch + j * rng.uniform(5, 14)
                p, q = ((c, -50), (c, h + 50)) if axis == 0 else ((-50, c), (w + 50, c))
                rot = lambda v: (int((v[0] * math.cos(a) - v[1] * math.sin(a)) * 16), int((v[0] * math.sin(a) + v[1] * math.cos(a)) * 16))  # noqa: E731
                width = int(rng.integers(1, 6))
                if style != 'bright':
                    cv2.line(picture, rot(p), rot(q), (rng.uniform(0, 0.3),) * 3, width, cv2.LINE_AA, 4)
                if style != 'dark':
                    s = (width, 0) if axis == 0 else (0, width)
                    cv2.line(picture, rot((p[0] + s[0], p[1] + s[1])), rot((q[0] + s[0], q[1] + s[1])), (rng.uniform(0.7, 1),) * 3, max(1, width // 2), cv2.LINE_AA, 4)


def round_cells(rng):
    """Round bodies 11-40 px wide with rings, between chamber lines, under uneven light."""
    h, w = 700, 900
    ground = rng.uniform(0.2, 0.9)
    picture = np.ones((h, w, 3), np.float32) * ground
    cast = 1 + rng.normal(0, 0.03, 3) * (rng.random() < 0.5)
    if rng.random() < 0.4:                                  # light falls off to one side
        a = rng.uniform(0, TAU)
        yy, xx = np.mgrid[0:h, 0:w]
        ramp = (xx - w / 2) / w * math.cos(a) + (yy - h / 2) / w * math.sin(a)
        picture *= np.clip(1 + rng.uniform(0.3, 2.0) * ramp, 0.05, 1.3)[..., None]
    if rng.random() < 0.75:
        chamber_lines(rng, picture)
    mean = math.exp(rng.uniform(math.log(13), math.log(34)))
    look = rng.choice(['bright_middle', 'dark_ring', 'ring_only'])
    sharp = rng.uniform(0.06, 0.2)
    shapes, placed = [], []
    yy, xx = np.mgrid[0:h, 0:w].astype(np.float32)
    for _ in range(int(rng.uniform(20, 110))):
        d = mean * (1 + rng.normal(0, 0.14)) * (1.7 if rng.random() < 0.03 else 1)
        x, y = rng.uniform(-5, w + 5), rng.uniform(-5, h + 5)
        if placed and rng.random() < 0.2:
            px, py, pr = placed[int(rng.integers(len(placed)))]
            a = rng.uniform(0, TAU)
            x, y = px + (pr + d / 2) * math.cos(a) * rng.uniform(0.9, 1.1), py + (pr + d / 2) * math.sin(a) * rng.uniform(0.9, 1.1)
        if any(math.hypot(x - p, y - q) < 0.85 * (r + d / 2) for p, q, r in placed):
            continue
        placed.append((x, y, d / 2))
        m = int(d * 1.6) + 4
        x0, x1, y0, y1 = max(0, int(x) - m), min(w, int(x) + m), max(0, int(y) - m), min(h, int(y) + m)
        if x1 - x0 < 4 or y1 - y0 < 4:
            continue
        dead = rng.random() < 0.15
        p = wavy(rng, d / 2, 0.25 if dead else 0.04, dead, 1 + abs(rng.normal(0, 0.06)))
        gx, gy = xx[y0:y1, x0:x1] - x, yy[y0:y1, x0:x1] - y
        ang = np.arctan2(gy, gx)
        order = np.argsort(np.arctan2(p[:, 1], p[:, 0]))
        rim = np.interp(ang.ravel(), np.arctan2(p[:, 1], p[:, 0])[order], np.hypot(*p.T)[order], period=TAU).reshape(ang.shape)
        q = np.hypot(gx, gy) / rim
        blurred = rng.random() < 0.15
        s = sharp * (3 if blurred else 1)
        ring = np.exp(-((q - 0.86) / s) ** 2)
        middle = 1 / (1 + np.exp((q - rng.uniform(0.35, 0.7)) / (0.5 * s)))
        halo = np.exp(-((q - 1.12) / (1.3 * s)) ** 2)
        k = rng.uniform(0.5, 1.0) * (0.4 if blurred else 1)
        add = -k * 0.7 * ring + rng.uniform(0, 0.3) * halo * k
        add += k * {'bright_middle': rng.uniform(0.3, 1.0), 'dark_ring': rng.uniform(-0.3, 0.1), 'ring_only': 0.05}[look] * middle
        if dead:
            add += k * 0.35 * smooth_noise(rng, y1 - y0, x1 - x0, max(2, d * 0.12)) * (q < 1)
        picture[y0:y1, x0:x1] += (add * ground)[..., None]
        shapes.append(dict(outline=p + [x, y], kind='dead' if dead else 'egg_unfertilised', weight=0.5 if blurred else 1.0))
    for _ in range(int(rng.choice([0, 3, 12]))):            # soft discs far out of focus, and small rings: not counted
        r, x, y = rng.uniform(4, 8) if rng.random() < 0.5 else rng.uniform(12, 30), rng.uniform(0, w), rng.uniform(0, h)
        if any(math.hypot(x - p, y - q) < r + s for p, q, s in placed):
            continue
        r = min(r, mean * 0.28) if r < 9 else r
        q = np.hypot(xx - x, yy - y) / r
        picture += (ground * rng.uniform(-0.25, 0.1) * (np.exp(-q ** 2) if r > 9 else np.exp(-((q - 0.8) / 0.3) ** 2)))[..., None]
    picture *= cast
    if rng.random() < 0.1:
        burnt_in_bar(rng, picture, rng.random() < 0.5)
    return finish(rng, picture, shapes, 3.2)


def paint(rng):
    return big_eggs(rng) if rng.random() < 0.55 else round_cells(rng)
