"""Single scores levelled for who tasted them and when: what a journal and any table share."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.many_columns import Columns, abreast, squared
from journal.findings.panel import PanelScores, panel_scores
from journal.findings.spreads import Spreads, session_share, spreads_of
from journal.findings.table import Floats


@dataclass(frozen=True)
class Levelled:
    """Scores of wheels at an age (units,): the panel's fit, their standard errors with all they
    share, and what they share (units, m)."""

    panel: PanelScores
    spreads: Spreads | None
    shared: Columns
    se: Floats


def levelled(singles: Floats) -> Levelled:
    """Level single scores.

    Parameters
    ----------
    singles : ndarray (6, scores)
        Make, wheel, assessor and session, numbered; age in days (NaN: unknown); value.
    """
    make, wheel, person, session, age, value = singles
    panel = panel_scores(wheel, person, session, age, value)
    spreads = spreads_of(make, wheel, person, session, age, value)
    common = np.nan_to_num(panel.shared)
    if spreads is None or panel.session_fitted:
        return Levelled(panel, spreads, common, panel.se)
    share = session_share(panel, wheel, session, age, value)
    mood = spreads.session * share
    return Levelled(panel, spreads, abreast([common, mood]), np.sqrt(panel.se**2 + squared(mood)))
