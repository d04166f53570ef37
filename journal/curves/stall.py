"""A course of acid whose culture stalls: from a moment on it keeps only a share of its pace."""

from __future__ import annotations

import numpy as np

from journal.curves.sigmoid import falling, ph_at, tau_when
from journal.records.traces import Floats

# A course is the six of sigmoid.NAMES, the culture time at which the culture stalls, and the
# natural logarithm of the share of its pace that is left to it from there.
NEVER = (1e9, 0.0)
SOFT_MIN = 4.0  # the bend is rounded over so many minutes while a course is searched for


def working(params: Floats) -> Floats:
    """Courses (m, 8) of cultures that do not stall, from sigmoid's parameters (m, 6)."""
    params = np.atleast_2d(params)
    return np.hstack([params, np.tile(NEVER, (len(params), 1))])


def ph_of(courses: Floats, tau: Floats, whey: float | Floats = 0.0) -> Floats:
    """pH of courses (m, 8) at culture times (n,), or (m, n) of their own → (m, n)."""
    courses = np.atleast_2d(courses)
    return ph_at(courses[:, :6], _slowed(courses, np.atleast_2d(tau)), whey)


def tau_of(courses: Floats, ph: float, whey: float = 0.0) -> Floats:
    """Culture time (m,) at which each course (m, 8) passes a pH: 0 from the start, inf never."""
    courses = np.atleast_2d(courses)
    at, left = courses[:, 6], np.exp(courses[:, 7])
    gathered = tau_when(courses[:, :6], ph, whey)
    late = np.maximum(gathered - at, 0.0) / left
    out: Floats = np.minimum(gathered, at) + late
    return out


def stalling(course: Floats, tau: Floats, whey: Floats) -> tuple[Floats, Floats]:
    """pH (n,) of one course (8,) with its bend rounded, and the derivatives (n, 8)."""
    at, left = course[6], np.exp(course[7])
    u = np.clip((tau - at) / SOFT_MIN, -60.0, 60.0)
    past, beyond = 1 / (1 + np.exp(-u)), SOFT_MIN * np.logaddexp(0.0, u)
    beyond = np.where(u >= 60.0, tau - at, beyond)
    gathered = tau - (1 - left) * beyond
    ph, slopes = falling(course[:6], gathered, whey)
    # The derivative along culture time is that along the middle, seen from the other side.
    width, middle = np.exp(course[3]), np.exp(course[2])
    u_slope = slopes[:, 2] / (-middle / width)
    steep = u_slope / width
    bends = np.column_stack([steep * (1 - left) * past, steep * left * beyond])
    return ph, np.hstack([slopes, bends])


def _slowed(courses: Floats, tau: Floats) -> Floats:
    """What culture time (1 or m, n) comes to for each course, (m, n)."""
    at, left = courses[:, 6:7], np.exp(courses[:, 7:8])
    out: Floats = np.minimum(tau, at) + left * np.maximum(tau - at, 0.0)
    return out
