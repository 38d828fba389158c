#!/usr/bin/python3
"""Draw large pieces of one cell and cut photos out of them, as a person photographs one filling.

  filling.py --out DIR [--seed 1] [--only lined live ...] [--small]

Each slide becomes DIR/NAME with photos (JPEG) and truth.json:
  photos  name -> camera (slide micrometres of a pixel) and the numbers of the larvae that are whole in it
  sets    photos that belong together: pairs that overlap by a known share, or a row and column of tiles
  apart   photos of which no two show any place in common
All photos of a slide share light and the dust on the lens, as the photos of one microscope do; brightness, blur, noise and
JPEG quality differ from photo to photo. On a live slide larvae swim between the first and the second photo of a pair.
"""
import argparse
import json
import math
import os
import zlib
os.environ.setdefault('OPENBLAS_NUM_THREADS', '1')
import numpy as np
import cv2
import larvae as lv
import render as rr
from optics import Camera, develop, illumination

F = np.float32
OVERLAPS = (5, 10, 20, 30, 40)
# larvae a mm2, who, dirt, ruled lines, share of the larvae that swim between two shots
KINDS = {
    'lined': dict(density=9, who='mixed', dirt=0.6, grid=True, swim=0),
    'plain': dict(density=9, who='d-hinge', dirt=0.3, grid=False, swim=0),
    'eggs': dict(density=14, who='eggs', dirt=0.12, grid=True, swim=0),
    'sparse': dict(density=2, who='umbo', dirt=0.4, grid=True, swim=0),
    'clean': dict(density=5, who='d-hinge', dirt=0.1, grid=False, swim=0),
    'dirty': dict(density=5, who='early', dirt=3.0, grid=True, swim=0),
    'live': dict(density=9, who='d-hinge', dirt=0.6, grid=True, swim=0.5),
    'swarm': dict(density=9, who='umbo', dirt=0.4, grid=False, swim=0.95),
}


class Plan:
    """Sizes of a slide and where its photos lie, in micrometres."""

    def __init__(self, rng, swims, small):
        self.um = float(rng.uniform(2.0, 2.6)) if not small else 2.5
        # apart: photos lie whole millimetres from each other, so that ruled lines fall on ruled lines
        self.columns, self.rows = (2, 1) if small else (2, 2) if swims else (4, 4)
        self.step = (3000, 2000) if small else (4000, 3000)
        self.photo = (int((2600 if small else 3600) / self.um) // 2 * 2, int((1800 if small else 2700) / self.um) // 2 * 2)
        self.size = (self.columns * self.step[0] + 400, self.rows * self.step[1] + 400 + (1200 if small else 0))
        self.width, self.height = int(self.size[0] / self.um), int(self.size[1] / self.um)


class SlideScene(rr.Scene):
    """A scene drawn in two layers: what lies still, and what swims."""

    def layer(self, objects):
        self.T = np.ones((self.cfg['H'], self.cfg['W'], 3), F)
        for o in objects:
            self.stamp(o, o.um, o.theta, o.dz, o.mot_ang)
        return self.T


def populate(sc, kind, rng, area_mm2):
    cfg, cam = sc.cfg, sc.cam
    pop, mean, _ = rr.population(kind['who'], rng, 3e6, cfg['look'])
    whole = sum(k for _, k in pop)
    n = kind['density'] * area_mm2
    pop = [(c, int(round(k * n / whole))) for c, k in pop]

    def region(c):
        if c is None:
            return cam.px_to_um(np.array([rng.uniform(0, cfg['W']), rng.uniform(0, cfg['H'])]))
        p = cam.um_to_px(c)
        return 0 < p[0] < cfg['W'] and 0 < p[1] < cfg['H']
    sc.place(pop, mean, float(rng.uniform(0, 0.08)), region)
    d = kind['dirt'] * area_mm2
    for count, make in ((0.9, lambda: lv.Floc(rng, rr.logu(rng, 14, 95), None if rng.random() < 0.7 else rng.uniform(0.7, 1.5))),
                        (0.10, lambda: lv.Floc(rng, rr.logu(rng, 90, 320), rng.uniform(0.1, 0.6))),
                        (0.45, lambda: lv.Grain(rng, rr.logu(rng, 6, 55))), (0.2, lambda: lv.Rod(rng, rr.logu(rng, 15, 90)))):
        for _ in range(int(rng.poisson(count * d))):
            sc.add(make(), region(None))
    return region


def swim(sc, rng, share):
    """Numbers of the larvae that swim, and where they are at the second shot."""
    movers = {}
    for i, o in enumerate(sc.objs):
        if o.cls in ('dead', 'empty_shell', 'ghost') or rng.random() >= share:
            continue
        far, way = rr.logu(rng, 60, 900), rng.uniform(0, 2 * math.pi)
        movers[i] = (o.um + far * np.array([math.cos(way), math.sin(way)]), rng.uniform(0, 2 * math.pi))
    return movers


class Shooter:
    """Takes photos of a slide."""

    def __init__(self, layers, sc, plan, rng, out):
        self.layers, self.sc, self.plan, self.rng, self.out = layers, sc, plan, rng, out
        self.photos, self.swum = {}, {}
        w, h = plan.photo
        dust = rr.Scene(dict(sc.cfg, W=w, H=h), Camera(w, h, plan.um), sc.opt, rng)
        rr.optics_dust(dust, int(rng.poisson(7)))
        light = rr.illum_for(rng, False)
        self.frame = dust.T * illumination(w, h, rng, light)
        self.sensor = rr.sensor_for(rng, rr.pick(rng, ['mount', 'phone'], [7, 3]))

    def take(self, name, centre_um, turn_deg, shot=0):
        """centre_um from the slide's corner; turn clockwise."""
        rng, plan = self.rng, self.plan
        w, h = plan.photo
        cx, cy = np.array(centre_um) / plan.um
        a = math.radians(turn_deg)
        m = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])       # photo pixel -> slide pixel
        c = np.array([cx, cy]) - m @ [(w - 1) / 2, (h - 1) / 2]
        M = np.column_stack([m, c])
        lin = cv2.warpAffine(self.layers[shot], M, (w, h), flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE)
        blur = rng.uniform(0, 0.9)
        if blur > 0.3:
            lin = cv2.GaussianBlur(lin, (0, 0), blur)
        lin = np.maximum(lin, 0) * self.frame
        b = float(np.percentile(lin[::8, ::8, 1], 60))
        lin *= F(self.sc.cfg['exposure'] * rng.uniform(0.72, 1.3) / max(b, 0.05))
        img = develop(lin.astype(F), rng, dict(self.sensor))
        cv2.imwrite(os.path.join(self.out, name + '.jpg'), img, [cv2.IMWRITE_JPEG_QUALITY, int(rng.integers(72, 96))])
        back = np.linalg.inv(m)
        whole = []
        for i, o in enumerate(self.sc.objs):
            um, theta = (self.swum[i] if shot == 1 and i in self.swum else (o.um, o.theta))
            p = (self.sc.outline_px(o, um, theta) - c) @ back.T
            if p[:, 0].min() >= 0.5 and p[:, 1].min() >= 0.5 and p[:, 0].max() <= w - 1.5 and p[:, 1].max() <= h - 1.5:
                whole.append(i)
        self.photos[name] = dict(image=name + '.jpg', shot=shot, slide_px_of_photo_px=M.tolist(), whole=whole)
        return name


def pair_at(rng, plan, share, across):
    """Centres of two photos that overlap by a share of their side, anywhere on the slide."""
    size = np.array(plan.photo) * plan.um
    step = np.array([(1 - share) * size[0], rng.uniform(-0.06, 0.06) * size[1]]) if across else \
        np.array([rng.uniform(-0.06, 0.06) * size[0], (1 - share) * size[1]])
    room = np.array(plan.size) - size * 1.05 - np.abs(step)
    first = size * 0.525 + rng.uniform(0, 1, 2) * np.maximum(room, 0) + np.maximum(-step, 0)
    return first, first + step


def draw(name, kind, seed, out, small):
    rng = np.random.default_rng(np.random.SeedSequence([seed, zlib.crc32(name.encode())]))
    plan = Plan(rng, kind['swim'] > 0, small)
    cam = Camera(plan.width, plan.height, plan.um, 0.0, centre_um=(rng.uniform(9000, 40000), rng.uniform(9000, 11000)))
    opt = rr.optics_for(rng, plan.um, False)
    cfg = dict(suite='mixed', idx=0, W=plan.width, H=plan.height, um=plan.um, phone=False, kind='mount', look=rr.make_look(rng, 'mixed'),
               grid=kind['grid'], exposure=float(rng.uniform(0.42, 0.62)))
    sc = SlideScene(cfg, cam, opt, rng)
    sc.eyep = sc.arc = None
    area_mm2 = plan.size[0] * plan.size[1] / 1e6
    populate(sc, kind, rng, area_mm2)
    movers = swim(sc, rng, kind['swim'])
    still = sc.layer(sc.non + [o for i, o in enumerate(sc.objs) if i not in movers])
    for _ in range(int(rng.poisson(0.02 * area_mm2))):
        rr.fibre(sc, rr.logu(rng, 350, 2000))
    if kind['grid']:
        style = rr.pick(rng, ['etched', 'frosted', 'printed'])
        gp = dict(width_um=rng.uniform(6, 14), depth_um=rng.uniform(0.8, 3.0), power=rng.uniform(1.6, 3.0), od={'etched': 0.08, 'frosted': 0.35, 'printed': 1.0}[style],
                  dz=0.0, origin=(0.0, 0.0), wob=rng.uniform(0, 0.5), style=style)
        gp['dz'] = sc.focus(cam.c, False, rng.normal(-12, 10) * sc.k)
        rr.draw_grid(sc, gp)
    specks = min(9000, int(rr.logu(rng, 8, 90) * area_mm2))
    rr.sprites(sc, 60, ['speck'], [specks])
    layers = [still]
    shooter = Shooter(layers, sc, plan, rng, out)
    if movers:
        before = still.copy()
        shooter.swum = movers
        later = sc.layer([])
        for i in movers:
            o = sc.objs[i]
            sc.stamp(o, movers[i][0], movers[i][1], o.dz, o.mot_ang)
        swum = before * later
        sc.T = before
        for i in movers:
            o = sc.objs[i]
            sc.stamp(o, o.um, o.theta, o.dz, o.mot_ang)
        shooter.layers = [sc.T, swum]
    sets = []
    turn = lambda: float(rng.uniform(-1.5, 1.5))                   # noqa: E731  two photos differ by up to 3 degrees
    second = 1 if movers else 0
    for share in ((10, 30) if small else OVERLAPS):
        one, two = pair_at(rng, plan, share / 100, bool(rng.random() < 0.5) and not small)
        photos = [shooter.take(f'over{share:02d}-a', one, turn()), shooter.take(f'over{share:02d}-b', two, turn(), second)]
        sets.append(dict(name=f'{share} %', overlap=share, photos=photos))
    if not movers and not small:
        size = np.array(plan.photo) * plan.um
        share = rng.uniform(0.10, 0.16)
        start = size * 0.525 + rng.uniform(0, 1, 2) * np.maximum(0, np.array(plan.size) - size * (1.05 + 2 * (1 - share)))
        tiles = [shooter.take(f'tile-{r}{c}', start + size * (1 - share) * [c, r] + rng.normal(0, 15, 2), turn()) for r in range(3) for c in range(3)]
        sets.append(dict(name='3 x 3 tiles', overlap=None, photos=tiles))
    apart = []
    for row in range(plan.rows):
        for column in range(plan.columns):
            centre = [200 + plan.step[0] * (column + 0.5), 200 + plan.step[1] * (row + 0.5)]
            # every other one unturned: only whole millimetres lie between them
            apart.append(shooter.take(f'apart-{row}{column}', centre, 0.0 if (row + column) % 2 == 0 else turn()))
    objects = [dict(cls=o.cls, x=round(float(p[0]), 2), y=round(float(p[1]), 2), size=round(2 * math.sqrt(o.area / math.pi) / plan.um, 2), swims=i in movers)
               for i, o in enumerate(sc.objs) for p in [sc.outline_px(o, o.um, o.theta).mean(0)]]
    truth = dict(name=name, um_per_px=plan.um, grid=kind['grid'], swim=kind['swim'], objects=objects, photos=shooter.photos, sets=sets, apart=apart)
    with open(os.path.join(out, 'truth.json'), 'w') as f:
        json.dump(truth, f)
    print(f'{name} {plan.width}x{plan.height} {plan.um:.2f} um/px, {len(sc.objs)} larvae, {len(movers)} swim, {len(shooter.photos)} photos', flush=True)


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('--out', required=True)
    ap.add_argument('--seed', type=int, default=1)
    ap.add_argument('--only', nargs='*', choices=list(KINDS), default=list(KINDS))
    ap.add_argument('--small', action='store_true', help='a slide of six square millimetres with two pairs, for quick tests')
    a = ap.parse_args()
    for name in a.only:
        out = os.path.join(a.out, name)
        os.makedirs(out, exist_ok=True)
        draw(name, KINDS[name], a.seed, out, a.small)


if __name__ == '__main__':
    main()
