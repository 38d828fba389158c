"""Train the finder on records that make_records.py writes.

  train.py --records DIR --out DIR --minutes 8 [--resume weights.pt] [--batch 64] [--lr 2e-3] [--final]
Writes OUT/weights.pt (averaged and plain weights) and OUT/optimiser.pt every minute and at the end. With --resume it goes on from there.
The learning rate rises for 300 steps, stays, and with --final falls to nothing over the last 40 % of the time.
"""
import argparse
import math
import os
import time
import numpy as np
import torch
import torch.nn.functional as F
from crops import Cropper, NOT_LARVA, Store
from net import CLASSES, Finder, SPOKES


def losses(out, t):
    """Weighted sum of the four losses, and each for the log."""
    n, _, h, w = out.shape
    flat = out.permute(0, 2, 3, 1).reshape(n * h * w, -1)
    centre, weight, kind = t['centre'].view(-1), t['weight'].view(-1), t['kind'].view(-1)
    bce = (F.binary_cross_entropy_with_logits(flat[:, 0], centre, reduction='none') * weight * (1 + 3 * centre)).mean()
    ground = kind == len(CLASSES) - 1
    ce = F.cross_entropy(flat[:, 1 + SPOKES:1 + SPOKES + len(CLASSES)], kind, reduction='none', label_smoothing=0.02)
    ce_weight = torch.where(ground, torch.full_like(centre, 0.12), (0.15 + centre) * weight)
    ce = (ce * ce_weight).sum() / ce_weight.sum()
    at = flat[t['where']]
    c = t['centre'].view(-1)[t['where']]
    length = F.softplus(at[:, 1:1 + SPOKES])
    # relative error counts as much as absolute: small eggs need the same per cent as big larvae
    error = (length - t['spokes']).abs() / (0.25 + 0.35 * t['spokes'])
    sw = (c * t['object_weight'])[:, None] * t['seen']
    spoke = (error * sw).sum() / sw.sum().clamp(min=1)
    aw = c * t['object_weight'] * t['has_axis']
    axis = ((at[:, -2:] - torch.nan_to_num(t['axis'])) ** 2).sum(1)
    axis = (axis * aw).sum() / aw.sum().clamp(min=1)
    return 4 * bce + 2.0 * spoke + 0.3 * ce + 0.15 * axis, (bce, spoke, ce, axis)


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument('--records', required=True)
    ap.add_argument('--out', required=True)
    ap.add_argument('--minutes', type=float, required=True)
    ap.add_argument('--resume')
    ap.add_argument('--batch', type=int, default=64)
    ap.add_argument('--lr', type=float, default=2e-3)
    ap.add_argument('--seed', type=int, default=1)
    ap.add_argument('--store-gb', type=float, default=40)
    ap.add_argument('--least', type=int, default=60, help='records to wait for before the first step')
    ap.add_argument('--final', action='store_true')
    ap.add_argument('--still', action='store_true', help='take the records that are there, do not wait for more')
    a = ap.parse_args()
    start = time.time()
    dev = 'cuda' if torch.cuda.is_available() else 'cpu'
    torch.manual_seed(a.seed)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    torch.backends.cudnn.benchmark = True
    store = Store(dev, int(a.store_gb * 1e9), 2_500_000 if dev == 'cuda' else 20_000, 8000)
    cache = {'n': -1}

    def host_meta():
        if cache['n'] != store.n:
            cache['n'] = store.n
            cache['m'] = store.records[:cache['n']].cpu().numpy()
        return cache['m']
    store.host_meta = host_meta
    if a.still:
        store.fill_from(a.records, False)
    else:
        store.fill_in_background(a.records)
    while store.n < a.least:
        time.sleep(0.5)
    print(f'{store.n} records after {time.time() - start:.0f} s', flush=True)
    net = Finder().to(dev)
    mean = Finder().to(dev)
    if dev == 'cuda':
        net, mean = net.to(memory_format=torch.channels_last), mean.to(memory_format=torch.channels_last)
    decay = [p for p in net.parameters() if p.ndim > 1]
    plain = [p for p in net.parameters() if p.ndim <= 1]
    opt = torch.optim.AdamW([{'params': decay, 'weight_decay': 0.02}, {'params': plain, 'weight_decay': 0.0}], lr=a.lr, betas=(0.9, 0.99))
    step = 0
    if a.resume:
        kept = torch.load(a.resume, map_location=dev)
        net.load_state_dict(kept['net'])
        mean.load_state_dict(kept['mean'])
        if os.path.exists(a.resume.replace('weights', 'optimiser')):
            opt.load_state_dict(torch.load(a.resume.replace('weights', 'optimiser'), map_location=dev))
        step = kept['step']
    else:
        mean.load_state_dict(net.state_dict())
    run = torch.compile(net) if dev == 'cuda' else net
    floats = lambda m: [v for v in m.state_dict().values() if v.dtype.is_floating_point]  # noqa: E731
    averaged, current = floats(mean), floats(net)
    cropper = Cropper(store, compile_=dev == 'cuda')
    rng = np.random.default_rng([a.seed, step])
    os.makedirs(a.out, exist_ok=True)

    def save():
        for name, what in (('weights', dict(net=net.state_dict(), mean=mean.state_dict(), step=step)), ('optimiser', opt.state_dict())):
            torch.save(what, os.path.join(a.out, 'part'))
            os.replace(os.path.join(a.out, 'part'), os.path.join(a.out, name + '.pt'))
    first, saved, told = step, time.time(), time.time()
    seen = torch.zeros(5, device=dev)
    while True:
        gone = (time.time() - start) / (a.minutes * 60)
        if gone >= 1:
            break
        lr = a.lr * min(1, (step - first + 1) / 300)
        if a.final and gone > 0.6:
            lr *= 0.5 * (1 + math.cos(math.pi * (gone - 0.6) / 0.4)) + 0.003
        for group in opt.param_groups:
            group['lr'] = lr
        x, t = cropper.batch(rng, a.batch)
        if dev == 'cuda':
            x = x.contiguous(memory_format=torch.channels_last)
        with torch.autocast(dev, dtype=torch.bfloat16, enabled=dev == 'cuda'):
            out = run(x)
        loss, parts = losses(out.float(), t)
        opt.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        opt.step()
        step += 1
        k = min(0.9992, (step + 1) / (step + 10))
        with torch.no_grad():
            torch._foreach_mul_(averaged, k)
            torch._foreach_add_(averaged, current, alpha=1 - k)
        seen += torch.stack([loss.detach(), *(v.detach() for v in parts)])
        if step % 100 == 0:
            v = (seen / 100).tolist()
            seen.zero_()
            print(f'{step} {store.n} records, {100 / (time.time() - told):.1f} steps/s, lr {lr:.5f}: loss {v[0]:.4f} centre {v[1]:.4f} spokes {v[2]:.4f} kind {v[3]:.4f} axis {v[4]:.4f}', flush=True)
            told = time.time()
        if time.time() - saved > 60:
            save()
            saved = time.time()
    save()
    print(f'done: {step} steps, {store.n} records, {store.used_objects} objects', flush=True)


if __name__ == '__main__':
    main()
