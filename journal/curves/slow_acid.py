"""Acid that comes too slowly: how likely, what it means, and what practice does about it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from journal.curves.culture_time import culture_in_min, culture_time, culture_times
from journal.curves.leaning import AcidFit, usual
from journal.curves.plan_gates import is_washed
from journal.curves.sigmoid import ph_at
from journal.curves.stall import ph_of
from journal.records.whole import WholeMake

# J. Food Prot. 2006 69:2161 (abstract): Staphylococcus aureus grows mostly in the first six
# hours; pH at six hours to be held to 5.8 (Saint-Nectaire type) or 6.3 (Salers); toxin only where
# it was about 6.5 to 6.6.
HOURS, STRICT_PH, LAX_PH = 6.0, 5.8, 6.3
UNSURE = 0.25  # from here on a failing culture is named, though not yet called

CAUTION = (
    "In a slow vat Staphylococcus aureus can grow, mostly in the first six hours, and leave toxin. "
    "Published limits for six hours after the culture are pH 5.8 (Saint-Nectaire type) and 6.3 "
    "(Salers); toxin was found only at about 6.5 to 6.6 (J. Food Prot. 2006 69:2161). It lasts: "
    "over three years in cheddar (Tatini et al., J. Dairy Sci.). Salting curd whose culture is "
    "dead favours it (J. Food Prot. 1981 44:189). Common practice, no source: check meter and "
    "milk temperature, read again in 15 min, and do not age, eat or give away what stayed sweet; "
    "throw it out untasted and scald the tools. Nothing here says a cheese is safe: local codes "
    "and a licensed maker decide."
)


class SixHours(NamedTuple):
    """Curd pH six hours after the culture: middle and 80 % range, how likely it is above the
    stricter and the laxer published limit, and what is usual for such a culture."""

    ph: float
    low: float
    high: float
    above_strict: float
    above_lax: float
    usual_ph: float


def six_hours(whole: WholeMake, fitted: AcidFit) -> SixHours:
    """The curd's pH six hours after the culture went in, as foretold (or read) now."""
    at = np.array([culture_in_min(whole) + HOURS * 60])
    tau = np.array([time.at(at) for time in culture_times(whole)])
    ph = ph_of(fitted.draws, tau[np.arange(len(fitted.draws)) % len(tau)])[:, 0]
    low, mid, high = np.quantile(ph, [0.1, 0.5, 0.9])
    mean = usual(whole.plan.culture_type, washed=is_washed(whole.plan))[0]
    return SixHours(
        float(mid),
        float(low),
        float(high),
        float(np.mean(ph > STRICT_PH)),
        float(np.mean(ph > LAX_PH)),
        float(ph_at(mean, culture_time(whole).at(at))[0, 0]),
    )


def is_slow(whole: WholeMake, fitted: AcidFit) -> bool:
    """True when slow acid is to be named: the culture is called, or the curd will more likely
    than not be above pH 6.3 at six hours although such a culture usually is not."""
    if fitted.called:
        return True
    if not fitted.readings:
        return False
    six = six_hours(whole, fitted)
    return six.above_lax > 0.5 and six.usual_ph <= LAX_PH


def stall_words(stalled: float, called: bool) -> str:
    """What is said of a failing culture: "" while nothing speaks for one."""
    if called:
        return f"This culture is slow or has stalled ({_in_hundred(stalled)}). {CAUTION}"
    if stalled >= UNSURE:
        return f"The culture may be slow or stalling ({_in_hundred(stalled)}): read the pH soon."
    return ""


def _in_hundred(share: float) -> str:
    return f"{min(round(100 * share), 99)} in 100"
