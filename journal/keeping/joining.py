"""Parts of a trace put together: one ascending trace, or the few columns of a small picture."""

from __future__ import annotations

import numpy as np

from journal.records.traces import Flags, Floats, Instants, Trace

TracePart = tuple[Instants, Floats, Flags]


def joined(kind: str, parts: list[TracePart]) -> Trace:
    """One trace, ascending in time; equal instants stay in the order they came."""
    if not parts:
        return Trace(kind)
    at = np.concatenate([p[0] for p in parts])
    value = np.concatenate([p[1] for p in parts])
    flags = np.concatenate([p[2] for p in parts])
    if np.any(np.diff(at) < 0):
        order = np.argsort(at, kind="stable")
        at, value, flags = at[order], value[order], flags[order]
    return Trace(kind, at, value, flags)


def narrowed(table: Floats, columns: int) -> tuple[Floats, Floats, Floats]:
    """A table (n, 3) of instant, low and high brought to so many rows, as three columns."""
    if len(table) <= columns:
        return table[:, 0], table[:, 1], table[:, 2]
    cuts = np.unique(np.linspace(0, len(table), columns, endpoint=False).astype(int))
    return (
        table[cuts, 0],
        np.fmin.reduceat(table[:, 1], cuts),
        np.fmax.reduceat(table[:, 2], cuts),
    )
