#!/usr/bin/python3
"""Render synthetic brightfield photographs of a gridded counting slide with exact truth.

  render.py --suite eggs --out DIR [--n 8] [--seed 1] [--only 3] [--scale 1.0] [--jobs 2] [--overlap]
  render.py --suite all --out DIR
Suites: eggs early d-hinge umbo eyed mixed crowded dirty phone calibration empty
"""
import os
os.environ.setdefault('OPENBLAS_NUM_THREADS', '1')
import argparse
import json
import math
import sys
import time
import zlib
import numpy as np
import cv2

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from optics import Camera, NoiseBank, Optics, develop, illumination, lateral_colour, motion_kernel, blur  # noqa: E402
import larvae as lv  # noqa: E402

F = np.float32
SUITES = ['eggs', 'early', 'd-hinge', 'umbo', 'eyed', 'mixed', 'crowded', 'dirty', 'phone', 'calibration', 'empty']
VERSION = 1


def pick(rng, items, p=None):
    return items[int(rng.choice(len(items), p=None if p is None else np.array(p) / np.sum(p)))]


def logu(rng, a, b):
    return float(math.exp(rng.uniform(math.log(a), math.log(b))))


# ----------------------------------------------------------------------------- per-image settings
def make_look(rng, suite):
    lugol = rng.random() < (0.12 if suite not in ('eggs',) else 0.05)
    fixed = lugol or rng.random() < 0.35
    look = dict(
        lugol=lugol, fixed=fixed,
        egg_od=rng.uniform(0.70, 1.5), egg_rgb=pick(rng, [(0.76, 0.94, 1.32), (0.85, 0.97, 1.22), (0.95, 1.0, 1.10), (0.72, 0.92, 1.40)]),
        gran=rng.uniform(0.08, 0.30), pear=pick(rng, [0.05, 0.15, 0.65], [5, 3, 2]), gv=rng.uniform(0.55, 0.95), strand=rng.uniform(0.0, 0.10),
        shell_od=rng.uniform(0.10, 0.22), shell_rgb=pick(rng, [(0.80, 0.95, 1.40), (0.95, 1.0, 1.15), (0.85, 0.9, 1.2)]),
        lip=rng.uniform(0.10, 0.40), umbo_od=rng.uniform(0.12, 0.5), umbo_rgb=pick(rng, [(0.6, 1.0, 1.5), (0.85, 1.35, 0.95), (0.8, 1.0, 1.2)]),
        body_od=rng.uniform(0.24, 0.62), body_rgb=pick(rng, [(0.75, 0.92, 1.40), (0.9, 1.0, 1.2), (0.82, 0.88, 1.25)]),
        gut_od=rng.uniform(0.8, 1.9), gut_rgb=pick(rng, [(0.55, 0.92, 1.75), (0.88, 0.82, 1.35), (0.80, 1.02, 1.45), (0.64, 0.92, 1.55), (0.95, 1.0, 1.15)], [3, 2, 3, 3, 1]),
        fed=rng.uniform(0.5, 1.0), velum_out=0.04 if fixed else rng.uniform(0.15, 0.55), foot_out=0.03 if fixed else 0.18,
        tissue_gran=rng.uniform(0.35, 1.3), retract_p=pick(rng, [0.0, rng.uniform(0.1, 0.5), 0.92], [5, 3, 2 if fixed else 1]))
    if lugol:
        for k in ('egg_rgb', 'body_rgb', 'gut_rgb'):
            look[k] = tuple(np.array(look[k]) * [0.75, 1.15, 1.6])
        look['body_od'] *= 1.5
        look['egg_od'] *= 1.15
    return look


def optics_for(rng, um, phone):
    if um < 0.95:
        na = 0.25 if rng.random() < 0.6 else 0.13
    elif um < 2.4:
        na = 0.10
    else:
        na = pick(rng, [0.10, 0.07])
    na_c = na * rng.uniform(0.40, 0.80)
    k = (0.10 / na) ** 1.6
    a = rng.uniform(5, 16) * k * (1 if rng.random() < 0.8 else -1)
    lca = (a, 0.0, -a * rng.uniform(0.8, 1.6))
    ob = abs(rng.normal(0, 0.16)) * na if rng.random() < 0.7 else rng.uniform(0.25, 0.55) * na
    th = rng.uniform(0, 2 * math.pi)
    return Optics(na, na_c, lca, oblique=(ob * math.cos(th), ob * math.sin(th)))


def sensor_for(rng, kind):
    p = dict(lens_blur=rng.uniform(0.3, 0.7), glare=rng.uniform(0.01, 0.05), wb=(rng.uniform(1.5, 2.1), 1.0, rng.uniform(1.4, 1.9)),
             fullwell=rng.uniform(3500, 14000), read=rng.uniform(3, 10), saturation=rng.uniform(0.95, 1.25), nr=0.0,
             contrast=rng.uniform(-0.1, 0.35), sharp=rng.uniform(0.0, 0.5), sharp_r=rng.uniform(0.8, 1.4), jpeg=int(rng.integers(80, 96)))
    if kind == 'phone':
        p.update(nr=rng.uniform(0.3, 1.0), fullwell=rng.uniform(1800, 6000), sharp=rng.uniform(0.4, 1.3), sharp_r=rng.uniform(0.9, 2.0),
                 saturation=rng.uniform(1.0, 1.28), contrast=rng.uniform(0.05, 0.5), jpeg=int(rng.integers(76, 93)), lens_blur=rng.uniform(0.5, 1.1),
                 glare=rng.uniform(0.02, 0.09))
    if kind == 'old':
        p.update(bilinear=True, fullwell=rng.uniform(1200, 3500), jpeg=int(rng.integers(70, 82)), lens_blur=rng.uniform(0.6, 1.1), sharp=rng.uniform(0.2, 1.0),
                 saturation=rng.uniform(0.8, 1.1))
    return p


def illum_for(rng, phone):
    cast = pick(rng, [(1.0, 1.0, 1.0), (1.03, 1.0, 0.84), (0.95, 0.985, 1.06), (0.97, 0.97, 1.05), (0.99, 1.02, 0.93), (1.06, 1.0, 0.74), (0.80, 1.06, 0.62)], [3, 3, 2, 2, 2, 1, 0.7])
    k = 2.0 if phone else 1.0
    return dict(hot=(rng.normal(0, 0.25), rng.normal(0, 0.2)), vig=rng.uniform(0.03, 0.22) * k, grad=tuple(rng.normal(0, 0.045 * k, 2)),
                hotamp=rng.uniform(0, 0.12) * k, hotsize=rng.uniform(0.5, 1.0), mottle=rng.uniform(0.002, 0.02), cast=cast,
                castgrad=tuple(rng.normal(0, 0.025 * k, 3)), castang=rng.uniform(0, 2 * math.pi))


SIZES = [(1600, 1200), (2048, 1536), (2592, 1944), (3000, 2250), (3264, 2448), (4000, 3000)]


def settings(suite, idx, rng, scale):
    phone = suite == 'phone' or (suite in ('mixed', 'dirty', 'eggs', 'empty') and rng.random() < 0.18)
    W, H = pick(rng, SIZES, [2, 3, 3, 4, 3, 2])
    um_range = {'eggs': (0.7, 2.0), 'early': (0.7, 2.0), 'd-hinge': (0.8, 2.4), 'umbo': (1.0, 3.0), 'eyed': (1.2, 4.0), 'mixed': (0.9, 3.0),
                'crowded': (1.0, 2.6), 'dirty': (0.9, 2.6), 'phone': (0.8, 2.6), 'calibration': (0.6, 4.0), 'empty': (0.8, 3.0)}[suite]
    um = logu(rng, *um_range)
    big = (suite == 'crowded' and idx == 6) or (suite == 'mixed' and idx == 6)
    if big:
        W, H = 8000, 6000
        um = rng.uniform(0.62, 0.85)
    if phone and not big:
        W, H = pick(rng, [(3264, 2448), (4000, 3000), (2448, 3264), (3024, 4000), (3000, 2250)])
        um *= pick(rng, [0.75, 1.0])
        um = max(um, 0.6)
    if scale != 1.0:
        W, H = int(W * scale) // 2 * 2, int(H * scale) // 2 * 2
        um = um / scale
    rot = rng.normal(0, 1.6) if not phone else rng.uniform(-25, 25)
    if rng.random() < 0.12 and not phone:
        rot = rng.uniform(-12, 12)
    persp = (0.0, 0.0) if not phone and rng.random() < 0.7 else tuple(rng.normal(0, 0.004 if not phone else 0.018, 2))
    k1 = rng.normal(0, 0.0025) if not phone else rng.normal(0.004, 0.010)
    k1 = float(np.clip(k1, -0.02, 0.02))
    centre = (rng.uniform(6000, 44000), rng.uniform(4000, 16000))
    cam = Camera(W, H, um, rot, persp, k1, centre)
    opt = optics_for(rng, um * scale if scale != 1 else um, phone)
    kind = 'phone' if phone else pick(rng, ['mount', 'old', 'phone'], [6, 1.5, 2.5])
    cfg = dict(suite=suite, idx=idx, W=W, H=H, um=um, phone=phone, kind=kind, look=make_look(rng, suite))
    cfg['grid'] = suite in ('calibration', 'phone') or rng.random() < 0.85
    cfg['exposure'] = rng.uniform(0.40, 0.74)
    return cfg, cam, opt


# ----------------------------------------------------------------------------- populations
def make_obj(rng, cls, mean, look):
    """mean: dict of per-image mean sizes."""
    if cls in ('egg_unfertilised', 'egg_fertilised', 'two_cell', 'four_cell', 'morula', 'blastula', 'gastrula'):
        d = mean['egg'] * (1 + rng.normal(0, 0.045))
        if cls in ('blastula', 'gastrula'):
            d *= 1.02
        return lv.Embryo(rng, cls, d, look)
    if cls == 'trochophore':
        return lv.Trochophore(rng, float(np.clip(mean['tro'] * (1 + rng.normal(0, 0.05)), 48, 68)), look)
    if cls == 'ghost':
        return lv.Ghost(rng, mean['egg'] * rng.uniform(0.9, 1.25), look)
    lim = {'d_hinge': (58, 88), 'early_umbo': (89, 144), 'umbo': (146, 280), 'eyed': (275, 340)}
    if look.get('overlap'):        # as in life: straight hinge up to 110 um, umbo from 85 um on
        lim.update(d_hinge=(58, 110), early_umbo=(85, 144))
    if cls in lim:
        a, b = lim[cls]
        for _ in range(20):
            L = mean[cls] * (1 + rng.normal(0, {'d_hinge': 0.045, 'early_umbo': 0.09, 'umbo': 0.11, 'eyed': 0.045}[cls]))
            if a <= L <= b:
                break
        return lv.Shelled(rng, cls, float(np.clip(L, a, b)), look)
    if cls in ('dead', 'empty_shell'):
        base = mean['dead_base']
        L = mean[base] * (1 + rng.normal(0, 0.10)) * rng.uniform(0.8, 1.02)
        return lv.Shelled(rng, cls, float(np.clip(L, 58, 335)), look)
    raise ValueError(cls)


def population(suite, rng, area_um2, look):
    """List of (class, count) and per-image mean sizes."""
    mean = dict(egg=rng.uniform(47, 59), tro=rng.uniform(52, 64), d_hinge=rng.uniform(65, 79), early_umbo=rng.uniform(95, 137),
                umbo=rng.uniform(155, 258), eyed=rng.uniform(288, 322), dead_base='d_hinge')
    if look.get('overlap'):
        mean.update(d_hinge=rng.uniform(72, 104), early_umbo=rng.uniform(88, 115))
    S = suite
    if S in ('crowded', 'dirty', 'phone'):
        S = pick(rng, ['eggs', 'early', 'd-hinge', 'umbo', 'eyed', 'mixed'], [2, 2, 3, 3, 2, 1])
    if S == 'eggs':
        adv = rng.uniform(0, 1)                    # progress within the first hours
        w = dict(egg_unfertilised=rng.uniform(0.04, 0.35), egg_fertilised=max(0.03, 0.75 - adv), two_cell=0.55 * math.exp(-((adv - 0.5) / 0.28) ** 2),
                 four_cell=0.55 * math.exp(-((adv - 0.75) / 0.25) ** 2), morula=0.5 * math.exp(-((adv - 1.05) / 0.22) ** 2), ghost=rng.uniform(0, 0.05))
        n = logu(rng, 40, 420)
    elif S == 'early':
        adv = rng.uniform(0, 1)
        w = dict(trochophore=max(0.05, 0.9 - adv), d_hinge=adv ** 1.3 * 0.9, gastrula=0.22 * max(0, 0.6 - adv), blastula=0.2 * max(0, 0.4 - adv), egg_unfertilised=rng.uniform(0, 0.10),
                 dead=rng.uniform(0, 0.06), ghost=rng.uniform(0, 0.05), empty_shell=rng.uniform(0, 0.04) * adv)
        mean['d_hinge'] = rng.uniform(63, 72)
        n = logu(rng, 30, 350)
    elif S == 'd-hinge':
        w = dict(d_hinge=1, trochophore=rng.uniform(0, 0.05), empty_shell=rng.uniform(0, 0.10), dead=rng.uniform(0, 0.08), egg_unfertilised=rng.uniform(0, 0.05))
        n = logu(rng, 15, 320)
    elif S == 'umbo':
        k = rng.uniform(0, 1)
        w = dict(early_umbo=1 - k, umbo=k, d_hinge=rng.uniform(0, 0.10), empty_shell=rng.uniform(0, 0.10), dead=rng.uniform(0, 0.07))
        mean['dead_base'] = 'early_umbo' if k < 0.5 else 'umbo'
        n = logu(rng, 8, 220)
    elif S == 'eyed':
        k = rng.uniform(0.25, 0.85)
        w = dict(eyed=k, umbo=1 - k, empty_shell=rng.uniform(0, 0.08), dead=rng.uniform(0, 0.05))
        mean['umbo'] = rng.uniform(215, 258)
        mean['dead_base'] = 'umbo'
        n = logu(rng, 6, 140)
    else:
        w = dict(d_hinge=rng.uniform(0.1, 1), early_umbo=rng.uniform(0, 1), umbo=rng.uniform(0, 1), eyed=rng.uniform(0, 0.5), trochophore=rng.uniform(0, 0.15),
                 egg_unfertilised=rng.uniform(0, 0.1), empty_shell=rng.uniform(0, 0.12), dead=rng.uniform(0, 0.10))
        mean['dead_base'] = pick(rng, ['d_hinge', 'early_umbo', 'umbo'])
        n = logu(rng, 15, 200)
    size2 = dict(egg=mean['egg'] ** 2, tro=mean['tro'] ** 2)
    ws = sum(w.values())
    ma = sum(v / ws * (mean.get(k, mean['tro'] if k == 'trochophore' else mean[mean['dead_base']] if k in ('dead', 'empty_shell') else mean['egg'])) ** 2 for k, v in w.items()) * 0.75
    cap = 0.16
    if suite == 'crowded':
        n = rng.uniform(300, 800); cap = 0.33
    n = int(max(5, min(n, cap * area_um2 / ma, 800)))
    cls = list(w)
    cnt = rng.multinomial(n, np.array([w[c] for c in cls]) / ws)
    return [(c, int(k)) for c, k in zip(cls, cnt) if k], mean, S


# ----------------------------------------------------------------------------- scene
class Scene:
    def __init__(self, cfg, cam, opt, rng):
        self.cfg, self.cam, self.opt, self.rng = cfg, cam, opt, rng
        self.T = np.ones((cfg['H'], cfg['W'], 3), F)
        self.bank = NoiseBank(rng)
        self.objs, self.non = [], []
        k = 0.10 / opt.na
        self.focus0 = rng.normal(0, 9) * k if rng.random() < 0.8 else rng.normal(0, 28) * k
        self.tilt = rng.normal(0, 10, 2) * k
        self.curv = rng.normal(0, 12) * k
        self.sz = rng.uniform(4, 16) * k
        self.p_swim = rng.uniform(0.0, 0.17) * (0.3 if cfg['look']['fixed'] else 1)
        self.k = k

    def focus(self, px, swim=True, fixed_z=None):
        q = (np.asarray(px) - self.cam.c) / self.cam.R
        z = self.focus0 + self.tilt @ q + self.curv * (q @ q)
        if fixed_z is not None:
            return float(z + fixed_z)
        z += self.rng.normal(0, self.sz)
        if swim and self.rng.random() < self.p_swim:
            z += self.rng.uniform(35, 330) * self.k
        return float(z)

    def stamp(self, o, um, theta, dz, mot_ang=0.0):
        """Render one object at slide position um, rotation theta, defocus dz."""
        cam, opt = self.cam, self.opt
        p0 = cam.um_to_px(um)
        J = cam.jac_px(p0)
        Ji = np.linalg.inv(J)
        sc = math.sqrt(abs(np.linalg.det(Ji)))          # um per px here
        na_b = min(opt.na, opt.na_c * 1.15)
        zmax = max(abs(dz + l) for l in opt.lca)
        halo = min(3 * opt.sigma(0) + 1.3 * zmax * na_b + 5, 400)
        hc = int(math.ceil((o.ext + 1.5) / sc * 1.02)) + 1      # content
        hh = int(math.ceil((halo + o.motion_um) / sc)) + 2      # room for blur
        px0, py0 = int(round(p0[0])), int(round(p0[1]))
        H, W = self.T.shape[:2]
        half = hc + hh
        if px0 + half < 0 or py0 + half < 0 or px0 - half >= W or py0 - half >= H:
            return
        # sample finely enough for the sharpest thing that survives the blur
        fine = max(0.75, 0.45 * opt.sigma(1), 0.5 * sc, 0.25 * min(abs(dz + l) for l in opt.lca) * na_b)
        fine = min(fine, o.length / 26)
        ss = int(np.clip(round(sc / fine), 1, 4))
        down = 1
        if ss == 1 and sc < 0.55 * fine and half > 40:    # oversampled image: render coarse, enlarge
            down = int(np.clip(round(fine / sc), 1, 3))
        if down > 1:
            hc = (hc // down + 1) * down + down // 2
            hh = (hh // down + 1) * down
            half = hc + hh
            nc = (2 * hc + 1) // down
            hc = (nc * down - 1) / 2
            half = hc + hh
            xs = (np.arange(nc) + 0.5) * down - 0.5 - hc
            ps = sc * down
            pad = hh // down
        else:
            nc = (2 * hc + 1) * ss
            xs = (np.arange(nc) + 0.5) / ss - 0.5 - hc
            ps = sc / ss
            pad = hh * ss
        off = half - int(half)                             # half pixel when an even size was enlarged
        gx = (xs + off + px0 - p0[0]).astype(F)[None, :]
        gy = (xs + off + py0 - p0[1]).astype(F)[:, None]
        ct, st = math.cos(theta), math.sin(theta)
        Rm = np.array([[ct, st], [-st, ct]]) @ Ji
        u = F(Rm[0, 0]) * gx + F(Rm[0, 1]) * gy
        v = F(Rm[1, 0]) * gx + F(Rm[1, 1]) * gy
        od, opd = o.fields(u, v, ps, self.bank, self.rng)
        od = [cv2.copyMakeBorder(np.asarray(x, F), pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=0) for x in od]
        opd = cv2.copyMakeBorder(np.asarray(opd, F), pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=0)
        mk = None
        if o.motion_um / ps > 1.5:
            mk = motion_kernel(o.motion_um / ps, mot_ang)
        P = opt.image(od, opd, dz, ps, ss, mk, o.floor, o.lens)
        if down > 1:
            n = P.shape[0] * down
            P = cv2.resize(P, (n, n), interpolation=cv2.INTER_CUBIC)
        half = int(half)
        x0, y0 = px0 - half, py0 - half
        h, w = P.shape[:2]
        ax, ay = max(0, -x0), max(0, -y0)
        bx, by = min(w, W - x0), min(h, H - y0)
        if bx <= ax or by <= ay:
            return
        # fade the patch border to exactly 1
        f = max(2, min(6, half // 6))
        win = np.clip(np.minimum(np.arange(w), np.arange(w)[::-1]) / F(f), 0, 1).astype(F)
        win = win[:, None] * win[None, :]
        P = 1 + (P - 1) * win[..., None]
        self.T[y0 + ay:y0 + by, x0 + ax:x0 + bx] *= P[ay:by, ax:bx]

    def outline_px(self, o, um, theta):
        ct, st = math.cos(theta), math.sin(theta)
        q = o.poly @ np.array([[ct, st], [-st, ct]]) + um
        return self.cam.um_to_px(q)

    # -- placing
    def place(self, pop, mean, touch, region):
        rng = self.rng
        todo = []
        for c, k in pop:
            for _ in range(k):
                todo.append(make_obj(rng, c, mean, self.cfg['look']))
        order = rng.permutation(len(todo))
        pos, rad = [], []
        for i in order:
            o = todo[i]
            r = math.sqrt(o.area / math.pi)
            done = False
            if pos and rng.random() < touch:
                for _ in range(12):
                    j = int(rng.integers(max(0, len(pos) - 40), len(pos))) if rng.random() < 0.5 else int(rng.integers(len(pos)))
                    a = rng.uniform(0, 2 * math.pi)
                    d = (r + rad[j]) * (rng.uniform(0.93, 1.03) if rng.random() < 0.72 else rng.uniform(0.70, 0.93))
                    c = pos[j] + d * np.array([math.cos(a), math.sin(a)])
                    if not region(c):
                        continue
                    P = np.array(pos); R = np.array(rad)
                    dd = np.hypot(*(P - c).T) / (R + r)
                    dd[j] = 9
                    if dd.min() > 0.86:
                        done = True
                        break
            if not done:
                for t in range(60):
                    c = region(None)
                    if not pos:
                        break
                    P = np.array(pos); R = np.array(rad)
                    if (np.hypot(*(P - c).T) - R - o.rad).min() > (3 if t < 50 else -0.2 * r):
                        break
            pos.append(c); rad.append(r)
            self.add(o, c)

    def add(self, o, c, dz=None, theta=None, swim=True):
        rng = self.rng
        th = rng.uniform(0, 2 * math.pi) if theta is None else theta
        p = self.cam.um_to_px(c)
        z = self.focus(p, swim) if dz is None else dz
        if z > 60 * self.k and o.motion_um == 0 and isinstance(o, lv.Shelled) and getattr(o, 'alive', False) and rng.random() < 0.3:
            o.motion_um = rng.uniform(2, 12)
        o.um, o.theta, o.dz, o.mot_ang = np.asarray(c, float), th, z, rng.uniform(0, 2 * math.pi)
        (self.objs if o.target else self.non).append(o)


def draw_grid(sc, gp):
    """Etched lines on the chamber floor, 1 mm pitch."""
    cam, opt, rng = sc.cam, sc.opt, sc.rng
    w = gp['width_um']
    half = w / 2 + 90 * sc.k * 0.6 + 20
    ps = min(0.5, cam.s / 3)
    x = np.arange(-half, half, ps)
    dep = gp['depth_um']
    prof = np.clip(1 - (np.abs(x) / (w / 2)) ** gp['power'], 0, 1)
    opd = -0.18 * dep * prof
    odv = gp['od'] * np.clip((w / 2 - np.abs(x)) / 0.8 + 0.5, 0, 1)
    J = cam.jac_px(cam.c)
    ob = np.array(opt.oblique)

    def profile(axis):
        """Line profile along increasing X (axis 0) or Y (axis 1), condenser offset turned to that direction."""
        n = J[:, axis] / np.hypot(*J[:, axis])
        opt.oblique = (float(ob @ n), float(ob @ np.array([-n[1], n[0]])))
        r = opt.image_1d([odv] * 3, opd, gp['dz'], ps).astype(F)
        opt.oblique = tuple(ob)
        return r
    L2 = [profile(0), profile(1)]
    need = 0.13 if sc.cfg['suite'] == 'calibration' else 0.05       # never fainter than a person could find
    for _ in range(12):
        if min(np.abs(q[:, 1] - 1).max() for q in L2) >= need:
            break
        odv = odv + 0.06 * np.clip((w / 2 - np.abs(x)) / 0.8 + 0.5, 0, 1)
        L2 = [profile(0), profile(1)]
    gp['contrast'] = float(min(np.abs(q[:, 1] - 1).max() for q in L2))
    lo = float(x[0])
    H, W = sc.T.shape[:2]
    wob = sc.bank.get(rng, 64, 64, 9)
    # tone along the line varies (uneven etching)
    for y0 in range(0, H, 256):
        y1 = min(H, y0 + 256)
        X, Y = cam.um_rows(y0, y1)
        for A, B, ph in ((X, Y, 0.0), (Y, X, 0.5)):
            L = L2[0 if ph == 0 else 1]
            d = (A - F(gp['origin'][0 if ph == 0 else 1])) % F(1000)
            d = np.where(d > 500, d - F(1000), d)
            m = np.abs(d) < half
            if not m.any():
                continue
            dd = d[m] + F(gp['wob']) * np.sin(B[m] * F(1 / 37.0) + F(5 * ph)) * np.sin(B[m] * F(1 / 171.0))
            f = (dd - F(lo)) * F(1 / ps)
            i = np.clip(f.astype(np.int32), 0, len(x) - 2)
            t = np.clip(f - i, 0, 1)[:, None]
            v = L[i] * (1 - t) + L[i + 1] * t
            k = F(0.85) + F(0.15) * np.sin(B[m] * F(1 / 23.0) + F(ph * 7)) * np.sin(B[m] * F(1 / 57.0))
            v = 1 + (v - 1) * k[:, None]
            sub = sc.T[y0:y1]
            sub[m] *= v


def drop_edge(sc):
    """Edge of the water: broad dark band with a bright line inside, plain air beyond."""
    (ax, ay), R, w, depth, air = sc.arc
    tint = 1 + sc.rng.normal(0, 0.03, 3)
    for y0 in range(0, sc.T.shape[0], 256):
        X, Y = sc.cam.um_rows(y0, min(sc.T.shape[0], y0 + 256))
        s = np.sqrt((X - F(ax)) ** 2 + (Y - F(ay)) ** 2) - F(R)          # > 0 in the water
        if s.min() > 6 * w:
            continue
        s += F(0.5 * w) * np.sin(X * F(1 / 300.0)) + F(0.3 * w) * np.sin(Y * F(1 / 170.0))
        b = 1 - F(depth) * np.exp(-(s / F(w)) ** 2) + F(0.18) * np.exp(-((s - F(1.7 * w)) / F(0.4 * w)) ** 2)
        k = 1 / (1 + np.exp(np.clip(s / F(0.3 * w), -30, 30)))
        sub = sc.T[y0:y0 + 256]
        for c in range(3):
            sub[..., c] = sub[..., c] * (1 - k) + F(air * tint[c]) * k
            sub[..., c] *= b


def draw_lines_field(sc, lines, width_um, od, dz, colour=(1, 1, 1), opd_amp=0.0):
    """Polylines in slide um, drawn over the whole field as absorbers (fibres, scratches, rulings)."""
    cam = sc.cam
    H, W = sc.T.shape[:2]
    pts = [cam.um_to_px(l) for l in lines]
    allp = np.vstack(pts)
    na_b = min(sc.opt.na, sc.opt.na_c * 1.15)
    pad = int((width_um + 3 * sc.opt.sigma(0) + 1.5 * (abs(dz) + 15) * na_b + 6) / cam.s) + 4
    x0, y0 = np.floor(np.maximum(allp.min(0) - pad, 0)).astype(int)
    x1, y1 = np.ceil(np.minimum(allp.max(0) + pad, [W, H])).astype(int)
    if x1 - x0 < 4 or y1 - y0 < 4:
        return
    ss = 2 if (x1 - x0) * (y1 - y0) < 3e6 else 1
    m = np.zeros(((y1 - y0) * ss, (x1 - x0) * ss), np.uint8)
    wpx = width_um / cam.s * ss
    t = max(1, int(round(wpx)))
    for p in pts:
        q = np.round(((p - [x0, y0] + 0.5) * ss - 0.5) * 16).astype(np.int32)
        cv2.polylines(m, [q], False, 255, t, cv2.LINE_AA, 4)
    a = m.astype(F) * F(min(1.0, wpx / t) / 255)
    if opd_amp:
        dist = cv2.distanceTransform((m > 127).astype(np.uint8), cv2.DIST_L2, 3) * F(cam.s / ss)
        hw = F(width_um / 2)
        opd = F(opd_amp) * np.sqrt(np.maximum(hw * hw - (hw - np.minimum(dist, hw)) ** 2, 0))
    else:
        opd = np.zeros_like(a)
    od3 = [F(od * c) * a for c in colour]
    P = sc.opt.image(od3, opd, dz, cam.s / ss, ss)
    h, w = P.shape[:2]
    sc.T[y0:y0 + h, x0:x0 + w] *= P


def micrometer(sc, truth):
    """Stage micrometer: 1 mm in 100 divisions of 10 um, rulings exact."""
    rng, cam = sc.rng, sc.cam
    c = cam.px_to_um(cam.c) + rng.normal(0, 60, 2)
    a = math.radians(rng.uniform(-15, 15))
    ux, uy = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
    n = 100
    fieldw = cam.W * cam.s
    base = rng.uniform(55, 90)
    wd = rng.uniform(1.4, 2.4)
    dz = sc.focus(cam.c, False, rng.normal(0, 6 * sc.k))
    lines, ends = [], []
    centred = rng.random() < 0.5
    for i in range(n + 1):
        L = base * (2.0 if i % 10 == 0 else 1.5 if i % 5 == 0 else 1.0)
        p = c + ux * (i - n / 2) * 10.0
        a0, a1 = (p + uy * L / 2, p - uy * L / 2) if centred else (p + uy * base, p + uy * (base - L))
        lines.append(np.stack([a0, a1]))
        q = cam.um_to_px(np.stack([a0, a1]))
        ends.append([[round(float(v), 3) for v in r] for r in q])
    od = rng.uniform(1.0, 3.0)
    draw_lines_field(sc, lines, wd, od, dz)
    if rng.random() < 0.7:                    # numerals, 0.1 mm apart, drawn as strokes
        seg = dict(zip('0123456789', ['abcdef', 'bc', 'abged', 'abgcd', 'fgbc', 'afgcd', 'afgedc', 'abc', 'abcdefg', 'abcdfg']))
        pt = dict(a=((0, 2), (1, 2)), b=((1, 2), (1, 1)), c=((1, 1), (1, 0)), d=((0, 0), (1, 0)), e=((0, 0), (0, 1)), f=((0, 1), (0, 2)), g=((0, 1), (1, 1)))
        h = base * 0.22
        strokes = []
        for i in range(0, n + 1, 10):
            org = c + ux * ((i - n / 2) * 10.0 - h * 1.1) - uy * (base * (1.25 if centred else 1.2))
            for kk, chh in enumerate(f'{i // 100}{(i // 10) % 10}'):
                for sgm in seg[chh]:
                    (x1, y1), (x2, y2) = pt[sgm]
                    off = kk * h * 1.9
                    strokes.append(np.stack([org + ux * (x1 * h + off) - uy * y1 * h, org + ux * (x2 * h + off) - uy * y2 * h]))
        draw_lines_field(sc, strokes, 3.0, od, dz)
    if rng.random() < 0.6:                    # outer circle to find the scale
        t = np.linspace(0, 2 * math.pi, 400)
        draw_lines_field(sc, [c + 750 * np.stack([np.cos(t), np.sin(t)], 1)], 8, od, dz)
    e = cam.um_to_px(np.stack([c - ux * 500, c + ux * 500]))
    truth['micrometer'] = dict(division_um=10.0, length_um=1000.0, angle_deg=math.degrees(a), divisions=n,
                               start_px=e[0].tolist(), end_px=e[1].tolist(), rulings_px=ends)


def reticle(sc, truth):
    """Eyepiece scale: fixed to the eye lens, always sharp, arbitrary units."""
    rng, cfg = sc.rng, sc.cfg
    W, H = cfg['W'], cfg['H']
    cx, cy, R = sc.eyep
    a = rng.uniform(0, 2 * math.pi)
    ux, uy = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
    L = R * rng.uniform(0.9, 1.25)
    m = np.zeros((H, W), np.uint8)
    th = max(1, int(R / 700))

    def line(p, q):
        cv2.line(m, tuple(np.round(np.array(p) * 16).astype(int)), tuple(np.round(np.array(q) * 16).astype(int)), 200, th, cv2.LINE_AA, 4)
    c = np.array([cx, cy]) + rng.normal(0, 0.02 * R, 2)
    line(c - ux * L * 0.62, c + ux * L * 0.62)
    if rng.random() < 0.5:
        line(c - uy * L * 0.35, c + uy * L * 0.35)
    tick = L / 100
    for i in range(101):
        p = c + ux * (i - 50) * tick
        h = tick * (2.4 if i % 10 == 0 else 1.7 if i % 5 == 0 else 1.1)
        line(p - uy * h * (1 if i % 10 == 0 else 0.6), p + uy * h * 0.6)
        if i % 10 == 0:
            q = p - uy * tick * 5
            txt = np.zeros((60, 80), np.uint8)
            cv2.putText(txt, str(i // 10), (10, 42), cv2.FONT_HERSHEY_SIMPLEX, 1.1, 200, 2, cv2.LINE_AA)
            s = tick * 2.4 / 34
            M = np.array([[ux[0] * s, uy[0] * s, 0], [ux[1] * s, uy[1] * s, 0]])
            M[:, 2] = q - M[:, :2] @ [36, 30]
            x0, y0 = (q - tick * 4).astype(int); x1, y1 = (q + tick * 4).astype(int)
            x0, y0 = max(0, x0), max(0, y0); x1, y1 = min(W, x1), min(H, y1)
            if x1 > x0 + 3 and y1 > y0 + 3:
                M[:, 2] -= [x0, y0]
                w = cv2.warpAffine(txt, M, (x1 - x0, y1 - y0), flags=cv2.INTER_AREA)
                m[y0:y1, x0:x1] = np.maximum(m[y0:y1, x0:x1], w)
    k = F(rng.uniform(0.5, 0.9))
    for i in range(0, H, 512):
        a_ = cv2.GaussianBlur(m[max(0, i - 4):i + 516], (0, 0), 0.7)[min(i, 4):][:min(512, H - i)].astype(F) * F(1 / 255)
        sc.T[i:i + 512] *= (1 - k * a_)[..., None]
    truth['eyepiece_scale'] = dict(divisions=100, division_um=float(tick * sc.cam.mean_scale), start_px=(c - ux * 50 * tick).tolist(), end_px=(c + ux * 50 * tick).tolist())


def sprites(sc, n, kinds, counts):
    """Many tiny particles: a bank of rendered sprites stamped at sub-pixel phases."""
    rng, cam, opt = sc.rng, sc.cam, sc.opt
    total = sum(counts)
    if total == 0:
        return []
    out = []
    H, W = sc.T.shape[:2]
    J = cam.jac_px(cam.c)
    for kind, cnt in zip(kinds, counts):
        if cnt == 0:
            continue
        bank = []
        for b in range(min(cnt, n)):
            d = {'algae': rng.uniform(4, 10), 'speck': min(9, logu(rng, 0.9, 6)), 'sperm': rng.uniform(1.6, 2.4)}[kind]
            o = lv.Cell(rng, d, kind)
            dz = sc.focus0 + rng.normal(0, 22 * sc.k) + (rng.uniform(40, 250) * sc.k if rng.random() < 0.18 else 0)
            na_b = min(opt.na, opt.na_c * 1.15)
            halo = 3 * opt.sigma(0) + 1.3 * (abs(dz) + 15 * sc.k) * na_b + 2
            half = int(math.ceil((d / 2 + halo) / cam.s)) + 2
            if half > 60:
                half = 60
            m = 2 * half + 1
            ss = int(np.clip(math.ceil(cam.s / max(0.35, d / 8)), 1, 6))
            xs = ((np.arange(m * ss) + 0.5) / ss - 0.5 - half)
            fx, fy = rng.uniform(-0.5, 0.5, 2)
            a = rng.uniform(0, 6.28)
            gx, gy = ((xs - fx) * cam.s).astype(F)[None, :], ((xs - fy) * cam.s).astype(F)[:, None]
            u = F(math.cos(a)) * gx + F(math.sin(a)) * gy
            v = F(-math.sin(a)) * gx + F(math.cos(a)) * gy
            od, opd = o.fields(u, v, cam.s / ss, sc.bank, rng)
            P = opt.image(od, opd, dz, cam.s / ss, ss)
            win = np.clip(np.minimum(np.arange(m), np.arange(m)[::-1]) / F(2), 0, 1).astype(F)
            P = 1 + (P - 1) * (win[:, None] * win[None, :])[..., None]
            bank.append((P, half, fx, fy, d))
        cl = rng.random() < 0.5
        cent = rng.uniform(0, 1, (6, 2)) * [W, H]
        for k in range(cnt):
            P, half, fx, fy, d = bank[int(rng.integers(len(bank)))]
            if cl and rng.random() < 0.35:
                x, y = (cent[int(rng.integers(6))] + rng.normal(0, 0.03 * W, 2)).astype(int)
            else:
                x, y = int(rng.integers(0, W)), int(rng.integers(0, H))
            x0, y0 = x - half, y - half
            ax, ay = max(0, -x0), max(0, -y0)
            bx, by = min(P.shape[1], W - x0), min(P.shape[0], H - y0)
            if bx <= ax or by <= ay:
                continue
            sc.T[y0 + ay:y0 + by, x0 + ax:x0 + bx] *= P[ay:by, ax:bx]
            if kind == 'algae':
                out.append([round(x + fx, 2), round(y + fy, 2), round(d, 2)])
    return out


def fibre(sc, length):
    rng, cam = sc.rng, sc.cam
    p = cam.px_to_um(rng.uniform(0, 1, 2) * [cam.W, cam.H])
    a = rng.uniform(0, 6.28)
    n = 40
    k = np.cumsum(rng.normal(0, 0.06, n)) * rng.uniform(0.2, 1.2)
    pts = [p]
    for i in range(n):
        a2 = a + k[i]
        pts.append(pts[-1] + length / n * np.array([math.cos(a2), math.sin(a2)]))
    w = rng.uniform(4, 18) if rng.random() < 0.7 else rng.uniform(1.5, 4)
    dz = sc.focus(cam.um_to_px(p), False) + (rng.uniform(0, 200) * sc.k if rng.random() < 0.5 else 0)
    col = pick(rng, [(1, 1, 1), (1, 1, 1), (1.2, 0.95, 0.7), (0.75, 1.0, 1.2), (0.7, 1.1, 1.1)])
    draw_lines_field(sc, [np.array(pts)], w, rng.uniform(0.05, 0.35), dz, col, opd_amp=rng.uniform(0.04, 0.14))
    q = cam.um_to_px(np.array(pts)[::4])
    return dict(**{'class': 'fibre'}, path_px=[[round(float(v), 1) for v in r] for r in q], width_um=round(w, 1))


def optics_dust(sc, n):
    """Dust on lens, eyepiece or sensor: soft fixed spots, independent of the slide."""
    rng = sc.rng
    H, W = sc.T.shape[:2]
    for _ in range(n):
        r = logu(rng, 4, 0.012 * W)
        x, y = rng.uniform(0, W), rng.uniform(0, H)
        half = int(r * 2.2) + 3
        x0, y0 = int(x) - half, int(y) - half
        ax, ay, bx, by = max(0, x0), max(0, y0), min(W, x0 + 2 * half), min(H, y0 + 2 * half)
        if bx - ax < 3 or by - ay < 3:
            continue
        gx = (np.arange(ax, bx) - x).astype(F)[None, :]; gy = (np.arange(ay, by) - y).astype(F)[:, None]
        d = np.sqrt(gx ** 2 * F(rng.uniform(0.7, 1.3)) + gy ** 2)
        s = 1 / (1 + np.exp((d - F(r)) / F(r * rng.uniform(0.1, 0.4))))
        if rng.random() < 0.35:
            s = s - F(0.5) / (1 + np.exp((d - F(r * 0.55)) / F(r * 0.15)))
        sc.T[ay:by, ax:bx] *= (1 - F(rng.uniform(0.015, 0.12)) * s)[..., None]


def eyepiece_mask(sc, lin):
    """Dark circular field edge with a coloured fringe, faint light outside, sometimes a ghost crescent."""
    rng = sc.rng
    cx, cy, R = sc.eyep
    H, W = lin.shape[:2]
    soft = R * rng.uniform(0.002, 0.012)
    e = rng.uniform(0.0, 0.0035)
    off = rng.normal(0, 0.012 * R, 2)
    cres = rng.random() < 0.35
    cang = rng.uniform(0, 6.28)
    cw = R * rng.uniform(0.03, 0.08)
    camp = rng.uniform(0.01, 0.5)
    glow = rng.uniform(0.0005, 0.006)
    fall = rng.uniform(0.0, 0.35)
    x = np.arange(W, dtype=F)[None, :]
    for y0 in range(0, H, 256):
        y = np.arange(y0, min(H, y0 + 256), dtype=F)[:, None]
        dx, dy = x - F(cx), y - F(cy)
        r = np.sqrt(dx * dx + dy * dy)
        sub = lin[y0:y0 + 256]
        dark = F(1) - F(fall) * np.clip(r / F(R), 0, 1) ** 4
        halo = F(glow) * np.exp(-np.maximum(r - F(R), 0) / F(0.35 * R))
        gl = None
        if cres:
            ca = np.cos(np.arctan2(dy, dx) - F(cang))
            gl = F(camp) * np.exp(-((r - F(R * 1.0) - F(1.25) * F(cw)) / F(0.45 * cw)) ** 2 / 2) * np.clip((ca - F(0.75)) * 4, 0, 1)
        for c, k in enumerate((-e, 0, e)):
            m = 1 / (1 + np.exp(np.clip((r - F(R * (1 + k))) / F(soft), -30, 30)))
            out = sub[..., c] * m * dark + halo
            if gl is not None:
                out += gl * (1 - m) * F((0.9, 1.0, 0.95)[c])
            sub[..., c] = out


# ----------------------------------------------------------------------------- one image
def flags(sc, recs, cfg):
    """touching, cut_by_frame, on_grid_line."""
    W, H = cfg['W'], cfg['H']
    P = [r['_poly'] for r in recs]
    C = np.array([p.mean(0) for p in P]) if P else np.zeros((0, 2))
    rad = np.array([np.hypot(*(p - c).T).max() for p, c in zip(P, C)])
    for i, r in enumerate(recs):
        p = P[i]
        cut = bool((p < -0.5).any() or (p[:, 0] > W - 0.5).any() or (p[:, 1] > H - 0.5).any())
        if sc.eyep is not None:
            cx, cy, R = sc.eyep
            cut = cut or bool((np.hypot(p[:, 0] - cx, p[:, 1] - cy) > R * 0.985).any())
        r['cut_by_frame'] = cut
        t = False
        for j in np.flatnonzero(np.hypot(*(C - C[i]).T) < rad + rad[i] + 2):
            if j == i:
                continue
            q = P[j].astype(np.float32)
            tol = max(1.0, 1.5 / cfg['um'])
            if any(cv2.pointPolygonTest(q, (float(a), float(b)), True) > -tol for a, b in p[::4]):
                t = True
                r.setdefault('touching_ids', []).append(int(j))
        r['touching'] = t
        if cfg['grid']:
            u = sc.cam.px_to_um(p)
            on = False
            for k in (0, 1):
                f = np.floor((u[:, k] - cfg['gp']['origin'][k]) / 1000.0)
                on = on or bool(np.ptp(f) > 0)
            r['on_grid_line'] = on
        else:
            r['on_grid_line'] = False


def draw_slide(suite, idx, seed, scale=1.0, overlap=False):
    """BGR picture, JPEG quality of its camera and exact truth of one slide; depends on the arguments alone."""
    rng = np.random.default_rng(np.random.SeedSequence([seed, idx, zlib.crc32(suite.encode())]))
    cfg, cam, opt = settings(suite, idx, rng, scale)
    cfg['look']['overlap'] = overlap
    sc = Scene(cfg, cam, opt, rng)
    W, H = cfg['W'], cfg['H']
    sc.eyep = sc.arc = None
    if cfg['phone']:
        R = min(W, H) * rng.uniform(0.40, 0.56)
        sc.eyep = (W / 2 + rng.normal(0, 0.05 * W), H / 2 + rng.normal(0, 0.05 * H), R)
    truth = dict(version=VERSION, suite=suite, image='', width=W, height=H)
    # grid
    gp = None
    if cfg['grid']:
        style = pick(rng, ['etched', 'etched', 'frosted', 'printed'])
        gp = dict(width_um=rng.uniform(5, 15), depth_um=rng.uniform(0.8, 3.0), power=rng.uniform(1.6, 3.0), od={'etched': 0.05, 'frosted': 0.35, 'printed': rng.uniform(0.7, 1.6)}[style],
                  dz=0.0, origin=(0.0, 0.0), wob=rng.uniform(0, 0.5), style=style)
        gp['dz'] = sc.focus(cam.c, False, rng.normal(-12, 10) * sc.k)
        cfg['gp'] = gp
    if suite == 'calibration' and idx % 2 == 1:      # odd numbers: stage micrometer instead of the grid
        cfg['grid'] = False
        micrometer(sc, truth)

    area = (cam.mean_scale ** 2) * W * H
    if sc.eyep:
        area = min(area, math.pi * (sc.eyep[2] * cam.mean_scale) ** 2)

    def region(c):
        mg = 0.012 * W
        if c is None:
            if sc.eyep:
                while True:
                    q = rng.uniform(-1, 1, 2)
                    if q @ q < 1:
                        p = np.array(sc.eyep[:2]) + q * sc.eyep[2] * 1.04
                        if -mg < p[0] < W + mg and -mg < p[1] < H + mg:
                            break
            else:
                p = np.array([rng.uniform(-mg, W + mg), rng.uniform(-mg, H + mg)])
            return cam.px_to_um(p)
        p = cam.um_to_px(c)
        ok = -mg < p[0] < W + mg and -mg < p[1] < H + mg
        if sc.eyep:
            ok = ok and np.hypot(p[0] - sc.eyep[0], p[1] - sc.eyep[1]) < sc.eyep[2] * 1.04
        return ok

    if not sc.eyep and rng.random() < {'dirty': 0.25, 'empty': 0.2, 'calibration': 0.0}.get(suite, 0.05):
        k = int(rng.integers(4))                       # air beyond an arc across one corner
        corner = np.array([(0, 0), (W, 0), (0, H), (W, H)][k], float)
        R = rng.uniform(0.6, 1.6) * H
        inw = (cam.c - corner) / np.hypot(*(cam.c - corner))
        arc_c = corner - inw * (R - rng.uniform(0.10, 0.28) * H)
        sc.arc = (cam.px_to_um(arc_c), R * cam.s, rng.uniform(25, 80), rng.uniform(0.35, 0.9), rng.uniform(0.9, 1.12))
        old = region

        def region(c, old=old):                         # noqa: F811
            if c is not None:
                return old(c) and np.hypot(*(c - sc.arc[0])) > sc.arc[1] + 150
            for _ in range(200):
                q = old(None)
                if np.hypot(*(q - sc.arc[0])) > sc.arc[1] + 150:
                    return q
            return q

    stage_mix = 'none'
    if suite not in ('calibration', 'empty'):
        pop, mean, stage_mix = population(suite, rng, area, cfg['look'])
        touch = rng.uniform(0.09, 0.20) if suite == 'crowded' else pick(rng, [0.0, rng.uniform(0.02, 0.10), rng.uniform(0.08, 0.16)])
        sc.place(pop, mean, touch, region)

    # non-targets
    lvl = {'dirty': rng.uniform(3.0, 7.0), 'empty': rng.uniform(0.8, 4.0), 'calibration': rng.uniform(0, 0.25), 'crowded': rng.uniform(0.1, 0.7)}.get(suite, logu(rng, 0.12, 1.1))
    am = area / 1e6                                   # field in mm2
    ns = lambda a: int(rng.poisson(max(0.0, a)))      # noqa: E731
    dens = min(am, 18)
    egg_like = stage_mix in ('eggs', 'early')

    def drop(o, dz=None):
        sc.add(o, region(None), dz)
    for _ in range(min(170, ns(lvl * dens * 0.9))):
        drop(lv.Floc(rng, logu(rng, 14, 95), None if rng.random() < 0.7 else rng.uniform(0.7, 1.5)))
    for _ in range(min(24, ns(lvl * dens * 0.10))):
        drop(lv.Floc(rng, logu(rng, 90, 320), rng.uniform(0.1, 0.6)))
    for _ in range(min(90, ns(lvl * dens * 0.45))):
        drop(lv.Grain(rng, logu(rng, 6, 55)))
    for _ in range(min(50, ns(lvl * dens * 0.20))):
        drop(lv.Rod(rng, logu(rng, 15, 90)))
    if egg_like:
        for _ in range(min(30, ns(lvl * dens * 0.35))):
            drop(lv.Film(rng, logu(rng, 30, 170)))
    nb = ns({'dirty': 3.5, 'empty': 2.0}.get(suite, 0.35))
    for _ in range(nb):
        o = lv.Bubble(rng, logu(rng, 35, 420))
        for _t in range(25):
            p = region(None)
            if not sc.objs or (np.hypot(*(np.array([q.um for q in sc.objs]) - p).T) - np.array([q.rad for q in sc.objs])).min() > o.rad:
                break
        else:
            continue
        sc.add(o, p, sc.focus(cam.um_to_px(p), False) + (rng.uniform(0, 120) * sc.k if rng.random() < 0.6 else 0))
    nc = ns({'dirty': 14, 'empty': 7}.get(suite, 0.8)) if rng.random() < 0.75 else 0
    cl = rng.uniform(45, 110)
    for _ in range(nc):
        drop(lv.Ciliate(rng, float(np.clip(cl * (1 + rng.normal(0, 0.15)), 30, 140))))

    # draw
    non_rec = []
    for _ in range(ns({'dirty': 3, 'empty': 2}.get(suite, 0.5))):
        non_rec.append(fibre(sc, logu(rng, 350, 2800)))
    if cfg['grid']:
        draw_grid(sc, gp)
    for o in sc.non + sc.objs:
        sc.stamp(o, o.um, o.theta, o.dz, o.mot_ang)
    nal = int(min(1600, ns(logu(rng, 2, 120) * am))) if rng.random() < 0.65 and suite != 'calibration' else 0
    if suite in ('dirty', 'empty') and rng.random() < 0.5:
        nal = max(nal, int(min(1600, 60 * am)))
    nsp = int(min(4000, logu(rng, 4, 160) * am * (0.3 if suite == 'calibration' else 1)))
    nsm = int(min(5000, logu(rng, 30, 900) * am)) if stage_mix == 'eggs' and rng.random() < 0.5 and cam.s < 1.6 else 0
    algae = sprites(sc, 36, ['algae', 'speck', 'sperm'], [nal, nsp, nsm])
    if sc.arc:
        drop_edge(sc)
    optics_dust(sc, ns(7))
    if sc.eyep and rng.random() < 0.35:
        reticle(sc, truth)

    # light
    lin = sc.T
    ill = illumination(W, H, rng, illum_for(rng, cfg['phone']))
    lin *= ill
    del ill
    b = float(np.percentile(lin[::16, ::16, 1], 60))
    lin *= F(cfg['exposure'] / max(b, 0.05))
    if sc.eyep:
        eyepiece_mask(sc, lin)
    k = 1.6 if cfg['phone'] else 0.6
    tr = rng.normal(0, 0.00035 * k); tb = rng.normal(0, 0.00045 * k)
    lin = lateral_colour(lin, tr, tb)
    sp = sensor_for(rng, cfg['kind'])
    if rng.random() < 0.05 and not cfg['phone']:
        sp['saturation'] = 0.0                        # monochrome camera
    img = develop(lin, rng, sp)
    name = f'{suite}_{idx:02d}'

    # truth
    recs = []
    for i, o in enumerate(sc.objs):
        P = sc.outline_px(o, o.um, o.theta)
        if (P[:, 0].max() < 1 or P[:, 1].max() < 1 or P[:, 0].min() > W - 2 or P[:, 1].min() > H - 2):
            continue
        if sc.eyep is not None and np.hypot(*(P - np.array(sc.eyep[:2])).T).min() > sc.eyep[2]:
            continue
        a, c = lv.poly_area_centroid(P)
        na_b = min(opt.na, opt.na_c * 1.15)
        br = abs(o.dz) * na_b
        vis_bb = (P[:, 0].min() < 0 or P[:, 1].min() < 0 or P[:, 0].max() > W - 1 or P[:, 1].max() > H - 1)
        rec = {'id': len(recs), 'class': o.cls, 'centroid_px': [round(float(c[0]), 2), round(float(c[1]), 2)],
               'length_um': round(o.length, 2), 'height_um': round(o.height, 2), 'area_um2': round(o.area, 1),
               'feret_max_um': round(lv.feret(o.poly)[0], 2), 'ecd_um': round(2 * math.sqrt(o.area / math.pi), 2), 'length_px': round(o.length / local_scale(cam, c), 2),
               'axis_deg': round(math.degrees(o.theta) + o.axis, 2), 'focus_um': round(o.dz, 1), 'blur_radius_um': round(br, 1),
               'hard': bool(br > 0.30 * o.length), 'polygon': [[round(float(x), 2), round(float(y), 2)] for x, y in P[::2]]}
        if isinstance(o, lv.Shelled):
            rec['tilt_deg'] = [round(o.tilt[0], 1), round(o.tilt[1], 1)]
            rec['true_length_um'] = round(o.L0, 2)
            rec['velum_out'] = bool(o.velum)
        rec['_poly'] = P
        recs.append(rec)
    flags(sc, recs, cfg)
    for r in recs:
        del r['_poly']
    for o in sc.non:
        P = sc.outline_px(o, o.um, o.theta)
        c = P.mean(0)
        if -50 < c[0] < W + 50 and -50 < c[1] < H + 50:
            non_rec.append({'class': o.cls, 'kind': getattr(o, 'kind', o.cls), 'centroid_px': [round(float(v), 1) for v in c], 'length_um': round(o.length, 1),
                            'focus_um': round(o.dz, 1), 'polygon': [[round(float(x), 1), round(float(y), 1)] for x, y in P[::max(1, len(P) // 24)]]})
    inv = np.linalg.inv(cam.G)
    truth.update(image=name + '.jpg', um_per_px=round(cam.mean_scale, 6), um_per_px_centre=round(cam.s, 6),
                 capture=dict(kind=cfg['kind'], eyepiece=bool(cfg['phone']), jpeg=sp['jpeg'], na=opt.na, na_condenser=round(opt.na_c, 3), stage_mix=stage_mix, lugol=bool(cfg['look']['lugol']),
                              fixed=bool(cfg['look']['fixed'])),
                 grid=None if not cfg['grid'] else dict(
                     pitch_um=1000.0, origin_um=list(gp['origin']), line_width_um=round(gp['width_um'], 2), style=gp['style'], contrast=round(gp['contrast'], 3), focus_um=round(gp['dz'], 1),
                     nearest_crossing_px=near_cross(cam), crossings_px=crossings(cam, W, H, sc.eyep)),
                 geometry=dict(rotation_deg=round(cam.rot_deg, 4), homography_um_to_idealpx=(inv / inv[2, 2]).tolist(), homography_idealpx_to_um=cam.G.tolist(),
                               radial_k1=cam.k1, radial_note='ideal = c + (p-c)*(1 + k1*|p-c|^2/R^2), c = image centre, R = half diagonal', centre_px=cam.c.tolist(), R_px=cam.R,
                               perspective=list(map(float, cam.persp))),
                 field=None if sc.eyep is None else dict(shape='circle', centre_px=[float(sc.eyep[0]), float(sc.eyep[1])], radius_px=float(sc.eyep[2])),
                 water_edge=bool(sc.arc), objects=recs, non_targets=non_rec, algae_px_d_um=algae,
                 counts={c: sum(1 for r in recs if r['class'] == c) for c in sorted({r['class'] for r in recs})})
    return img, sp['jpeg'], truth


def render_image(suite, idx, seed, outdir, scale=1.0, overlap=False, quiet=False):
    t0 = time.time()
    img, quality, truth = draw_slide(suite, idx, seed, scale, overlap)
    name = f'{suite}_{idx:02d}'
    os.makedirs(outdir, exist_ok=True)
    cv2.imwrite(os.path.join(outdir, name + '.jpg'), img, [cv2.IMWRITE_JPEG_QUALITY, quality])
    with open(os.path.join(outdir, name + '.json'), 'w') as f:
        json.dump(truth, f)
    if not quiet:
        recs = truth['objects']
        print(f"{name} {truth['width']}x{truth['height']} {truth['um_per_px']:.2f} um/px objects {len(recs)} "
              f"touch {sum(r['touching'] for r in recs)} cut {sum(r['cut_by_frame'] for r in recs)} hard {sum(r['hard'] for r in recs)} q{quality} {time.time() - t0:.1f}s", flush=True)
    return name


def local_scale(cam, p):
    return math.sqrt(abs(np.linalg.det(np.linalg.inv(cam.jac_px(p)))))


def near_cross(cam):
    c = cam.px_to_um(cam.c)
    return [round(float(v), 3) for v in cam.um_to_px(np.round(c / 1000) * 1000)]


def crossings(cam, W, H, eyep):
    c = cam.px_to_um(np.array([[0, 0], [W, 0], [0, H], [W, H]], float)) / 1000
    out = []
    for i in range(int(np.floor(c[:, 0].min())), int(np.ceil(c[:, 0].max())) + 1):
        for j in range(int(np.floor(c[:, 1].min())), int(np.ceil(c[:, 1].max())) + 1):
            p = cam.um_to_px(np.array([i * 1000.0, j * 1000.0]))
            if 0 <= p[0] < W and 0 <= p[1] < H and (eyep is None or np.hypot(p[0] - eyep[0], p[1] - eyep[1]) < eyep[2]):
                out.append([i, j, round(float(p[0]), 3), round(float(p[1]), 3)])
    return out


def _job(a):
    return render_image(*a)


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('--suite', required=True)
    ap.add_argument('--out', required=True)
    ap.add_argument('--n', type=int, default=8)
    ap.add_argument('--seed', type=int, default=20240607)
    ap.add_argument('--only', type=int, nargs='*')
    ap.add_argument('--scale', type=float, default=1.0, help='shrink images (same scene scale in um)')
    ap.add_argument('--jobs', type=int, default=1)
    ap.add_argument('--overlap', action='store_true', help='straight-hinge larvae up to 110 um and umbo larvae from 85 um on, as in life')
    a = ap.parse_args()
    suites = SUITES if a.suite == 'all' else [a.suite]
    for s in suites:
        if s not in SUITES:
            sys.exit('unknown suite ' + s)
    jobs = [(s, i, a.seed, os.path.join(a.out, s) if len(suites) > 1 else a.out, a.scale, a.overlap) for s in suites for i in (a.only if a.only else range(a.n))]
    if a.jobs > 1:
        import multiprocessing as mp
        with mp.Pool(a.jobs) as p:
            for _ in p.imap_unordered(_job, jobs):
                pass
    else:
        for j in jobs:
            render_image(*j)


if __name__ == '__main__':
    main()
