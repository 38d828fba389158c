"""Distribution functions and quantiles by SciPy, to compare ours with.

    /usr/bin/python3 tests/reference/scipy-special.py

writes tests/reference/scipy-special.json.
"""

import json
from pathlib import Path

import scipy
from scipy import optimize, special, stats

shapes = [0.5, 1, 1.5, 3, 10, 57.5, 400, 2000, 25000]
degrees = [1, 2, 3, 4.5, 9, 30, 139.63, 1000, 20000]
chances = [1e-6, 0.0005, 0.005, 0.025, 0.3, 0.5, 0.9, 0.975, 0.995, 0.9995]
relative = [0.1, 0.6, 0.95, 1, 1.05, 1.7, 4]


def student(p, df):
    """SciPy's own t.ppf is off by up to 4e-9 (version 1.10.1), so its root is found from its distribution function."""
    if p > 0.5:
        return -student(1 - p, df)
    return optimize.brentq(lambda t: special.stdtr(df, t) / p - 1, -1e7, 0, xtol=1e-15, rtol=1e-15)


rows = {
    "logGamma": [[x, special.gammaln(x)] for x in [1e-3, 0.5, 1.3, 2.6, 10, 100.5, 1e5]],
    "digamma": [[x, special.psi(x)] for x in [1e-2, 0.5, 1, 3.586087, 25, 1e4]],
    "trigamma": [[x, special.polygamma(1, x)] for x in [1e-2, 0.5, 1, 3.586087, 25, 1e4]],
    "gammaLower": [[a, a * r, special.gammainc(a, a * r)] for a in shapes for r in relative],
    "gammaUpper": [[a, a * r, special.gammaincc(a, a * r)] for a in shapes for r in relative],
    "betaLower": [
        [a, b, min(0.999, a / (a + b) * r), special.betainc(a, b, min(0.999, a / (a + b) * r))]
        for a in shapes
        for b in [0.5, 2, 30, 4000]
        for r in relative
    ],
    "normalLower": [[z, special.ndtr(z)] for z in [-8, -3, -1.96, -0.1, 0, 0.7, 1.96, 4]],
    "normalQuantile": [[p, special.ndtri(p)] for p in [1e-12, *chances]],
    "gammaQuantile": [[p, a, special.gammaincinv(a, p)] for p in chances for a in shapes],
    "chiSquareQuantile": [[p, k, stats.chi2.ppf(p, k)] for p in chances for k in degrees],
    "studentUpper": [[t, k, stats.t.sf(t, k)] for t in [-2, 0.1, 1, 2.5, 12, 60] for k in degrees],
    "studentQuantile": [[p, k, student(p, k)] for p in chances for k in degrees if p != 0.5],
    "betaQuantile": [[p, a, b, special.betaincinv(a, b, p)] for p in chances for a in shapes for b in [0.5, 2, 30, 4000]],
    "fUpper": [[f, a, b, stats.f.sf(f, a, b)] for f in [0.2, 1, 3, 9.918367] for a in [1, 3, 9] for b in [4, 30, 500]],
    "fQuantile": [[p, a, b, stats.f.ppf(p, a, b)] for p in chances for a in [1, 3, 9] for b in [4, 30, 500]],
    "binomialLower": [[k, n, p, stats.binom.cdf(k, n, p)] for k, n, p in [(0, 5, 0.1), (14, 400, 0.05), (49, 100, 0.5), (3, 4, 0.9)]],
}

out = Path(__file__).with_suffix(".json")
lines = [f"{json.dumps(name)}: {json.dumps([[float(v) for v in row] for row in table])}" for name, table in rows.items()]
out.write_text(
    "{\n" + ",\n".join([f'"by": "SciPy {scipy.__version__}"', '"script": "tests/reference/scipy-special.py"', *lines]) + "\n}\n"
)
