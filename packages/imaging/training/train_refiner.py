"""Train the refiner: a band along a coarse outline in, the true rim and its spread in every direction out.

  train_refiner.py PATCHES.npz --out DIR --minutes 2 [--batch 768] [--resume refiner.pt]
Coarse outlines are truth made coarse, in the way the finder errs. Writes OUT/refiner.pt every 20 seconds and at the end.

Output of the network for each of the ANGLES directions: offset of the rim in units of UNIT coarse radii, and the logarithm of its
spread (Laplace) in the same unit.
"""
import argparse
import io
import math
import os
import time
import numpy as np
import torch
from PIL import Image
from torch import nn
import bands


class Refiner(nn.Module):
    def __init__(self, c=(8, 16, 24, 32)):
        super().__init__()
        a, b, d, e = c
        relu = lambda: nn.ReLU(inplace=True)  # noqa: E731
        self.body = nn.Sequential(
            nn.Conv2d(1, a, (3, 5), padding=(1, 2)), relu(),
            nn.Conv2d(a, b, 3, (1, 2), 1), relu(), nn.Conv2d(b, b, 3, 1, 1), relu(),
            nn.Conv2d(b, d, 3, (1, 2), 1), relu(), nn.Conv2d(d, d, (5, 3), 1, (2, 1)), relu(),
            nn.Conv2d(d, e, (1, bands.DEPTHS // 4)), relu(),
            nn.Conv2d(e, e, (5, 1), padding=(2, 0)), relu(), nn.Conv2d(e, e, (5, 1), padding=(2, 0)), relu(),
            nn.Conv2d(e, 2, 1))

    def forward(self, x):
        """x (N, 1, ANGLES + 2 WRAP, DEPTHS); returns (N, 2, ANGLES)."""
        return self.body(x)[:, :, bands.WRAP:-bands.WRAP, 0]


def load(path, device):
    kept = np.load(path)
    jpegs, ends = kept['jpegs'].tobytes(), np.cumsum(kept['sizes'])
    patches = np.stack([np.asarray(Image.open(io.BytesIO(jpegs[e - s:e]))) for s, e in zip(kept['sizes'], ends)])
    return torch.from_numpy(patches).to(device)[:, None], torch.from_numpy(kept['outlines']).to(device)


def coarse_of(truth):
    """Middle, coarse radii with the finder's kind of error (now and then far worse), and true radii."""
    n, dev = truth.shape[0], truth.device
    size = (truth.amax(1) - truth.amin(1)).amax(1, keepdim=True) / 2
    worse = torch.where(torch.rand(n, 1, device=dev) < 0.15, 2.5, 1.0)
    middle = truth.mean(1) + torch.randn(n, 2, device=dev) * 0.025 * worse * size
    r = bands.radii(truth, middle)
    lost = r.amin(1, keepdim=True) <= 0.05 * size
    middle = torch.where(lost, truth.mean(1), middle)
    r = torch.maximum(bands.radii(truth, middle), 0.1 * size)
    a = bands.directions(dev)
    wave = torch.arange(1, 9, device=dev)
    height = torch.randn(n, 8, 1, device=dev) * (0.018 / wave.sqrt()).view(1, 8, 1)
    noise = (height * torch.cos(wave.view(1, 8, 1) * a + torch.rand(n, 8, 1, device=dev) * 2 * math.pi)).sum(1)
    coarse = r * (1 + (torch.randn(n, 1, device=dev) * 0.03 + noise) * worse)
    smooth = sum(w * coarse.roll(s, 1) for s, w in ((-2, 0.1), (-1, 0.25), (0, 0.3), (1, 0.25), (2, 0.1)))
    coarse = torch.where(torch.rand(n, 1, device=dev) < 0.7, smooth, coarse)
    return middle, torch.maximum(coarse, 0.1 * size), r


def soften(x):
    sigma = float(torch.empty(1).uniform_(0.4, 1.6))
    t = torch.arange(-4, 5, device=x.device, dtype=torch.float32)
    k = torch.exp(-t * t / (2 * sigma * sigma))
    k = (k / k.sum()).view(1, 1, 1, -1)
    pad = torch.nn.functional.pad(x, (4, 4, 4, 4), mode='replicate')
    return torch.nn.functional.conv2d(torch.nn.functional.conv2d(pad, k), k.transpose(2, 3))


def batch(patches, outlines, n):
    dev = patches.device
    on = lambda p: torch.rand(n, 1, 1, device=dev) < p  # noqa: E731
    pick = torch.randint(len(outlines), (n,), device=dev)
    truth, x = outlines[pick], patches[pick].float() / 255
    mirror = on(0.5)
    truth = torch.where(mirror, truth * truth.new_tensor([-1, 1]) + truth.new_tensor([x.shape[-1] - 1, 0]), truth)
    x = torch.where(mirror[..., None], x.flip(3), x)
    part = n // 4
    x = torch.cat([soften(x[:part]), x[part:]])
    middle, coarse, r = coarse_of(truth)
    band = bands.cut(x, middle, coarse)
    offset = (r / coarse - 1) / bands.UNIT
    turn = int(torch.randint(bands.ANGLES, (1,)))
    band, offset = band.roll(turn, 1), offset.roll(turn, 1)
    band = band.clamp(0.002, 1) ** torch.exp((torch.rand(n, 1, 1, device=dev) - 0.5) * 0.8) * (0.6 + 0.4 * torch.rand(n, 1, 1, device=dev))
    band = torch.where(on(0.12), 1 - band, band)
    band = band + torch.randn_like(band) * torch.rand(n, 1, 1, device=dev) * 0.03 * on(0.5)
    return bands.wrapped(bands.level(band)), offset


def loss_of(out, y):
    spread = out[:, 1].clamp(-5, 3)
    error = (out[:, 0] - y).abs()
    # the mean offset decides the size: it is a term of its own
    size = (out[:, 0].mean(1) - y.mean(1)).abs().mean()
    return (error * torch.exp(-spread) + spread).mean() + 2 * size + 0.5 * error.mean(), error.mean(), size


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('patches')
    ap.add_argument('--out', required=True)
    ap.add_argument('--minutes', type=float, required=True)
    ap.add_argument('--batch', type=int, default=768)
    ap.add_argument('--resume')
    ap.add_argument('--seed', type=int, default=1)
    a = ap.parse_args()
    os.makedirs(a.out, exist_ok=True)
    torch.manual_seed(a.seed)
    dev = 'cuda' if torch.cuda.is_available() else 'cpu'
    patches, outlines = load(a.patches, dev)
    net, mean = Refiner().to(dev), Refiner().to(dev)
    if a.resume:
        net.load_state_dict(torch.load(a.resume, map_location=dev))
    mean.load_state_dict(net.state_dict())
    opt = torch.optim.AdamW(net.parameters(), lr=2e-3, weight_decay=0.01)
    start, step, saved = time.time(), 0, time.time()
    seen = torch.zeros(3, device=dev)
    print(len(outlines), 'objects', flush=True)
    while (gone := (time.time() - start) / (a.minutes * 60)) < 1:
        for group in opt.param_groups:
            group['lr'] = 2e-3 * min(1, (step + 1) / 100) * (0.5 * (1 + math.cos(math.pi * gone)) + 0.005)
        x, y = batch(patches, outlines, a.batch)
        loss, error, size = loss_of(net(x), y)
        opt.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        opt.step()
        step += 1
        k = min(0.998, (step + 1) / (step + 10))
        with torch.no_grad():
            for p, q in zip(mean.parameters(), net.parameters()):
                p.mul_(k).add_(q, alpha=1 - k)
        seen += torch.stack([loss.detach(), error.detach(), size.detach()])
        if step % 100 == 0:
            print(step, *(f'{v / 100:.4f}' for v in seen.tolist()), f'{time.time() - start:.0f} s', flush=True)
            seen.zero_()
        if time.time() - saved > 20:
            torch.save(mean.state_dict(), os.path.join(a.out, 'refiner.pt'))
            saved = time.time()
    torch.save(mean.state_dict(), os.path.join(a.out, 'refiner.pt'))
    print('done', step)


if __name__ == '__main__':
    main()
