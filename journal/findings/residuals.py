"""How far each make lies from what its variables say, in the order of the journal, and how much the
answer would be another without it.

Makes count by their means, with the scatter and the prior's scale that were found. Leaving one
out is then exact: with A the precision of level and effects, a make of row x, variance s² and
residual r moves them by A⁻¹x r / (s² − x' A⁻¹ x) when it goes (the leave-one-out formula of ridge
regression, from memory; a test leaves a make out and fits anew).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.joint import Joint
from journal.findings.table import Floats

FAR = 2.5  # sds of its scatter about the rest from which a make lies far off
PULLS = 1.0  # sds of an effect by which it moves without the make


@dataclass(frozen=True)
class MakeResidual:
    """A make beside what its variables say.

    Parameters
    ----------
    make : str
    off : float
        Points above (or below) what the other makes say of it.
    sds : float
        The same in sds of such a difference.
    entry : int
        The entry of the joint model whose effect moves most without it.
    moves : float
        By how much, points per sd of the entry.
    pulls : float
        The same in sds of that effect.
    """

    make: str
    off: float
    sds: float
    entry: int
    moves: float
    pulls: float

    @property
    def is_far(self) -> bool:
        """Whether it lies far off."""
        return abs(self.sds) > FAR

    @property
    def weighs(self) -> bool:
        """Whether it lies far off and the answer would be another without it."""
        return self.is_far and self.pulls > PULLS


def residuals(joint: Joint, columns: Floats, y: Floats, make: list[str]) -> list[MakeResidual]:
    """Each make's residual, in the order the makes first come.

    Parameters
    ----------
    columns : ndarray (rows, variables + bends)
        As they stand in the model.
    y : ndarray (rows,)
        Scores, their mean taken off.
    make : list of str
        The make of each row.
    """
    codes = list(dict.fromkeys(make))
    at = np.array([codes.index(code) for code in make])
    count = np.bincount(at, minlength=len(codes)).astype(float)
    rows = np.column_stack([np.ones(len(y)), columns])
    x = np.array([np.bincount(at, weights=column) / count for column in rows.T]).T
    score, variance = np.bincount(at, weights=y) / count, joint.scatter**2
    prior = np.full(x.shape[1], joint.scale**-2)
    prior[0] = 1e-9
    covariance = np.linalg.inv(x.T @ x / variance + np.diag(prior))
    off = score - x @ (covariance @ (x.T @ score)) / variance
    gain = x @ covariance
    own = np.maximum(variance - (gain * x).sum(axis=1), 1e-9 * variance)
    shift = gain * (off / own)[:, None]
    sd = np.sqrt(np.diag(covariance))[1 : 1 + joint.entries]
    out = []
    for i, code in enumerate(codes):
        moves = -shift[i, 1 : 1 + joint.entries]
        entry = int(np.argmax(np.abs(moves) / sd))
        alone = float(off[i] * variance / own[i])
        out.append(
            MakeResidual(code, alone, float(off[i] / np.sqrt(own[i])), entry, float(moves[entry]),
                         float(abs(moves[entry]) / sd[entry]))
        )  # fmt: skip
    return out
