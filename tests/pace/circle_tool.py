"""The journal's own proposals in the circle: the functions that the window and the command use."""

from __future__ import annotations

import numpy as np

from journal.findings.additive import AdditiveFit, MadeScores, fit_additive
from journal.findings.panel import panel_scores
from journal.findings.trials import BOLD, CAREFUL, ONE, Trials, best_settings, choose
from tests.pace.circle_worlds import AGES, CHANGES, MILK, Numbers, Seen


def fitted(seen: Seen) -> tuple[AdditiveFit, Trials]:
    """What the scores say so far, and the makes there are."""
    done = np.where(np.isfinite(seen.carried), seen.carried, seen.settings)
    half, rows = np.full(CHANGES, seen.reach), seen.scores
    panel = panel_scores(*rows[:, :5].T[1:], rows[:, 5]) if len(rows) > 3 else None
    make = np.empty(0, np.intp) if panel is None else panel.wheel_ix // len(AGES)
    scored = np.isin(np.arange(seen.makes), make)
    trials = Trials(done, scored, -half, half, seen.a_year)
    nothing = np.empty(0)
    if panel is None:
        given = MadeScores(
            np.empty((0, CHANGES)), np.empty((0, MILK + 1)), nothing, nothing, np.empty((0, 0)),
            make, make, half,
        )  # fmt: skip
    else:
        age = (panel.age_days - np.mean(AGES)) / (np.ptp(AGES) / 2)
        beside = np.column_stack([seen.milk[make], age])
        given = MadeScores(
            done[make], beside, panel.score, panel.se, panel.shared, make, panel.wheel_ix, half
        )
    return fit_additive(given), trials


class Careful:
    """Up to three changes a make."""

    name, manner = CAREFUL, CAREFUL

    def choose(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        """The settings proposed for the next make."""
        return choose(*fitted(seen), self.manner, rng)

    def settle(self, seen: Seen, rng: np.random.Generator) -> Numbers:
        """The best known plan."""
        return best_settings(*fitted(seen))


class Bold(Careful):
    """As many changes as pay."""

    name, manner = BOLD, BOLD


class OneChange(Careful):
    """One change a make."""

    name, manner = "one at a time", ONE


TOOLS = (Careful, Bold, OneChange)
