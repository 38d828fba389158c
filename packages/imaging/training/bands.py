"""Bands along the rim of an object, cut from the full-scale picture: what the refiner sees.

A band has ANGLES rows (directions from a middle, clockwise from x) and DEPTHS columns (radii from INNER to OUTER times the coarse
radius in that direction). Values are luma (white is 1) minus its ground, over its deviation plus 0.03; ground is the median of the
outermost quarter of the band, deviation the mean absolute difference from it.
"""
import math
import torch
import torch.nn.functional as F

ANGLES = 64
WRAP = 8                         # rows repeated at either end, so that the network sees the rim closed
DEPTHS = 32
INNER, OUTER = 0.70, 1.30
UNIT = 0.1                       # an offset of 1 moves the rim by a tenth of the coarse radius


def directions(device):
    return torch.arange(ANGLES, device=device) * (2 * math.pi / ANGLES)


def radii(outline, middle):
    """Farthest crossing of each direction from `middle` (n, 2) with closed outlines (n, V, 2). Returns (n, ANGLES), 0 for none."""
    q = outline - middle[:, None]
    a = directions(q.device)
    dx, dy = a.cos()[None, :, None], a.sin()[None, :, None]
    qx, qy = q[:, None, :, 0], q[:, None, :, 1]
    side = dx * qy - dy * qx
    nx, ny, nside = qx.roll(-1, 2), qy.roll(-1, 2), side.roll(-1, 2)
    denominator = dx * (ny - qy) - dy * (nx - qx)
    r = (qx * ny - qy * nx) / torch.where(denominator.abs() < 1e-9, torch.full_like(denominator, 1e-9), denominator)
    return torch.where(((side <= 0) != (nside <= 0)) & (r > 0), r, torch.zeros_like(r)).amax(2)


def cut(patches, middle, coarse):
    """Bands of patches (n, 1, P, P) round `middle` (x, y pixels) at coarse radii (n, ANGLES). Returns (n, ANGLES, DEPTHS)."""
    a = directions(patches.device)
    share = INNER + (OUTER - INNER) * (torch.arange(DEPTHS, device=patches.device) + 0.5) / DEPTHS
    r = coarse[:, :, None] * share
    at = torch.stack([middle[:, 0, None, None] + r * a.cos()[None, :, None], middle[:, 1, None, None] + r * a.sin()[None, :, None]], 3)
    return F.grid_sample(patches, at * (2 / (patches.shape[-1] - 1)) - 1, mode='bilinear', padding_mode='border', align_corners=True)[:, 0]


def level(band):
    """Ground subtracted, divided by the deviation."""
    ground = band[:, :, DEPTHS * 3 // 4:].flatten(1).median(1).values[:, None, None]
    away = band - ground
    return away / (away.abs().mean((1, 2), keepdim=True) + 0.03)


def wrapped(band):
    """(n, ANGLES, DEPTHS) -> (n, 1, ANGLES + 2 WRAP, DEPTHS)."""
    return torch.cat([band[:, -WRAP:], band, band[:, :WRAP]], 1)[:, None]
