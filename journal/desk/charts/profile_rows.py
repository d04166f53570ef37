"""What a profile looks like, said once: for the screen and for paper."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from journal.curves.surface import PlotSurface
from journal.reports.profile import BEST, LAST, LATEST, THIS, Profile

_MARKS = {  # role, symbol, size, hollow, level: where all three are one they are still told apart
    BEST: ("quiet", "d", 17, True, 4),
    LAST: ("planned", "o", 12, True, 5),
    THIS: ("ink", "o", 7, False, 6),
    LATEST: ("ink", "o", 7, False, 6),
}


def draw_profile(plot: PlotSurface, profile: Profile, at: Sequence[float], scale: float) -> None:
    """The attributes, each at its height of the plot: the marks of its sessions, so many times
    their usual size, and a line through those of the one that is shown."""
    means, rows = profile.sides[0].means, list(zip(profile.attributes, at, strict=True))
    known = np.array([(means[name], y) for name, y in rows if name in means]).reshape(-1, 2)
    plot.line(known[:, 0], known[:, 1], "ink", width=1.2, level=3)
    for side in reversed(profile.sides):
        for name, y in rows:
            if name in side.means:
                draw_session(plot, side.which, side.means[name], y, scale)


def draw_session(plot: PlotSurface, which: str, x: float, y: float, scale: float) -> None:
    """The mark of a session."""
    role, symbol, size, hollow, level = _MARKS[which]
    plot.points(
        np.array([x]), np.array([y]), role, symbol=symbol, size=size * scale, hollow=hollow,
        level=level,
    )  # fmt: skip
