"""d′: how large a difference is, in units of the scatter of one tasting; one scale for all tests.

How often an answer is right when two cheeses lie d′ apart (Thurstone's model: each cup is felt with
normal scatter of 1):

- paired comparison (2-AFC): Φ(d/√2);
- duo-trio: 1 − Φ(d/√2) − Φ(d/√6) + 2 Φ(d/√2) Φ(d/√6) (David & Trivedi 1962; Ennis 1993);
- triangle: 2 ∫₀^∞ [Φ(−z√3 + d√⅔) + Φ(−z√3 − d√⅔)] φ(z) dz (Ura 1960; Frijters 1979);
- tetrad, unspecified: 1 − 2 ∫ [2 Φ(z) Φ(z−d) − Φ(z−d)²] φ(z) dz (Ennis, Ennis, Yip & O'Mahony
  1998).

The formulas are from memory; tests hold each against its own rule of decision, tasted many times,
and against published values. Of two out of five no published function could be read.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from journal.findings.error import FindingError
from journal.findings.table import Floats
from journal.records.panel_tests import DUO_TRIO, PAIRED, TETRAD, TRIANGLE

KNOWN = (TRIANGLE, PAIRED, DUO_TRIO, TETRAD)
MOST = 12.0  # beyond this no answer is ever wrong
_FAR = 9.0  # sd: nothing of the normal density lies beyond


def right_share(kind: str, d: float) -> float:
    """The share of right answers when the cheeses lie `d` apart.

    Raises
    ------
    FindingError
        For a kind of test without such a function, or a `d` below 0.
    """
    if kind not in KNOWN:
        raise FindingError("findings.no-d-prime", kind=kind)
    if not d >= 0:
        raise FindingError("findings.d-prime-below-zero", d=d)
    from scipy.special import ndtr

    if kind == PAIRED:
        return float(ndtr(d / math.sqrt(2)))
    if kind == DUO_TRIO:
        two, six = float(ndtr(d / math.sqrt(2))), float(ndtr(d / math.sqrt(6)))
        return 1 - two - six + 2 * two * six
    if kind == TRIANGLE:
        z, weight = _normal(0.0)
        apart = d * math.sqrt(2 / 3)
        inner = ndtr(-z * math.sqrt(3) + apart) + ndtr(-z * math.sqrt(3) - apart)
        return 2 * float(inner @ weight)
    z, weight = _normal(-_FAR)
    far = ndtr(z - d)
    return 1 - 2 * float((2 * ndtr(z) * far - far**2) @ weight)


@lru_cache(maxsize=2)
def _normal(low: float) -> tuple[Floats, Floats]:
    """Where the normal density is looked at from `low` on, and its weights (Gauss and Legendre)."""
    node, weight = np.polynomial.legendre.leggauss(200)
    z = low + (_FAR - low) * (node + 1) / 2
    density = np.exp(-(z**2) / 2) / math.sqrt(2 * math.pi)
    return z, weight * density * (_FAR - low) / 2


@lru_cache(maxsize=1024)
def d_prime(kind: str, share: float) -> float:
    """How far apart the cheeses lie for so many right answers: 0 at chance or below, inf where
    every answer is right.

    Raises
    ------
    FindingError
        For a kind of test without such a function.
    """
    if share <= right_share(kind, 0.0) + 1e-9:
        return 0.0
    if share >= right_share(kind, MOST):
        return math.inf
    low, high = 0.0, MOST
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if right_share(kind, middle) < share else (low, middle)
    return (low + high) / 2
