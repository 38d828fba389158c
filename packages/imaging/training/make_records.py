"""Endless supply of training records.

  make_records.py OUT --seed S --jobs N [--count K] [--start I]
Writes OUT/<number>.pickle (by temporary file and rename) until K are made or it is stopped. Record i depends on (seed, i) alone.
The tuning seed of the drawer is never used: slide seeds are SEED_BASE + seed * 100000 + i.
"""
import argparse
import multiprocessing as mp
import os
import pickle
import sys
import numpy as np

here = os.path.dirname(os.path.abspath(__file__))
sys.path[:0] = [here, os.path.join(here, 'drawer')]
import records  # noqa: E402
import render  # noqa: E402
import scenes  # noqa: E402

SEED_BASE = 700_000_000
# share of each suite; 'painted' are the scenes of scenes.py
MIX = dict(eggs=14, early=12, mixed=12, umbo=9, eyed=9, crowded=14, dirty=19, phone=14, empty=4, calibration=1, painted=13)
MIX['d-hinge'] = 10
STORAGE_UM = 2.1
FINE_STORAGE_UM = 1.5


def make(job):
    out, seed, i = job
    rng = np.random.default_rng([SEED_BASE, seed, i])
    names = sorted(MIX)
    share = np.array([MIX[n] for n in names], float)
    suite = names[int(rng.choice(len(names), p=share / share.sum()))]
    if suite == 'painted':
        record = scenes.paint(rng)
    else:
        # index 6 of some suites is a very large picture: leave those to the tuning set
        picture, quality, truth = render.draw_slide(suite, int(rng.choice([0, 1, 2, 3, 4, 5, 7])), SEED_BASE + seed * 100_000 + i)
        fine = rng.random() < (0.35 if suite in ('eggs', 'early') else 0.1)
        record = records.from_slide(picture, quality, truth, FINE_STORAGE_UM if fine else STORAGE_UM)
    record['suite'] = suite
    path = os.path.join(out, f'{i:06d}.pickle')
    with open(path + '.tmp', 'wb') as f:
        pickle.dump(record, f, 5)
    os.replace(path + '.tmp', path)
    return i


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('out')
    ap.add_argument('--seed', type=int, required=True)
    ap.add_argument('--jobs', type=int, default=2)
    ap.add_argument('--count', type=int, default=1_000_000)
    ap.add_argument('--start', type=int, default=0)
    a = ap.parse_args()
    os.makedirs(a.out, exist_ok=True)
    with mp.Pool(a.jobs) as pool:
        for _ in pool.imap_unordered(make, ((a.out, a.seed, a.start + k) for k in range(a.count))):
            pass


if __name__ == '__main__':
    main()
