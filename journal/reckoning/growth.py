"""Where germs that make people ill can grow: temperature, pH and water activity as published."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import require, within

# How far a kitchen's figure may be off, taken on the germ's side: a meter or strip and the place
# measured, a refrigerator that swings (common practice, no source); water activity by formula
# (J. Dairy Res. 1990: 87 % of samples within 0.005).
PH_OFF, TEMP_OFF_C, AW_OFF = 0.1, 1.0, 0.005
# Australian import rule for cheese, CHE 07-2016: Listeria cannot grow.
_RULE_PH, _RULE_AW, _RULE_SOUR_PH, _RULE_SOUR_AW, _RULE_DRY_PCT = 4.4, 0.92, 5.0, 0.94, 39.0


@dataclass(frozen=True)
class GrowthRange:
    """Where one germ grows or makes toxin (`does`): °C, pH and least water activity.

    NaN where nothing was published.
    """

    germ: str
    does: str
    low_c: float
    high_c: float
    low_ph: float
    high_ph: float
    low_aw: float


def widest(published: Iterable[GrowthRange]) -> list[GrowthRange]:
    """One range a germ and deed: the widest that any source gives, as sources differ."""
    groups: dict[tuple[str, str], list[GrowthRange]] = {}
    for one in published:
        groups.setdefault((one.germ, one.does), []).append(one)
    return [
        GrowthRange(
            *key,
            _ends([one.low_c for one in group], least=True),
            _ends([one.high_c for one in group], least=False),
            _ends([one.low_ph for one in group], least=True),
            _ends([one.high_ph for one in group], least=False),
            _ends([one.low_aw for one in group], least=True),
        )
        for key, group in groups.items()
    ]


def held_back_by(
    limits: GrowthRange,
    temp_c: float | None = None,
    ph: float | None = None,
    aw: float | None = None,
    *,
    ph_off: float = PH_OFF,
    temp_off_c: float = TEMP_OFF_C,
    aw_off: float = AW_OFF,
) -> tuple[Message, ...]:
    """Each condition that alone keeps the germ from growing; none where it may grow.

    A condition counts only when it lies outside the widest published range even with the error of
    its measurement. Several conditions that are each almost at their limit hold a germ back too:
    that is left out, which is the safe side.
    """
    if temp_c is not None:
        within(temp_c, -40, 130, "reckoning.temperature", "°C")
    if ph is not None:
        within(ph, 0, 14, "reckoning.ph")
    if aw is not None:
        within(aw, 0, 1, "reckoning.water-activity")
    require((temp_c, ph, aw) != (None, None, None), "reckoning.growth-of-nothing")
    found: list[Message] = []
    for value, off, limit, sign, words in (
        (temp_c, temp_off_c, limits.low_c, 1, "reckoning.too-cold-to-grow"),
        (temp_c, temp_off_c, limits.high_c, -1, "reckoning.too-hot-to-grow"),
        (ph, ph_off, limits.low_ph, 1, "reckoning.too-sour-to-grow"),
        (ph, ph_off, limits.high_ph, -1, "reckoning.too-alkaline-to-grow"),
        (aw, aw_off, limits.low_aw, 1, "reckoning.too-dry-to-grow"),
    ):
        if value is not None and sign * (limit - value) > off + 1e-9:
            found.append(Message(words, found=value, limit=limit))
    return tuple(found)


def listeria_rule(
    ph: float | None, aw: float | None, moisture_pct: float | None
) -> tuple[Message, ...]:
    """What of the Australian import rule (CHE 07-2016) says that Listeria cannot grow.

    pH under 4.4; or water activity under 0.92; or pH under 5.0 with water activity under 0.94, or
    with moisture under 39 %.
    """
    sour = ph is not None and ph < _RULE_SOUR_PH
    met = (
        (ph is not None and ph < _RULE_PH, "reckoning.rule-ph"),
        (aw is not None and aw < _RULE_AW, "reckoning.rule-aw"),
        (sour and aw is not None and aw < _RULE_SOUR_AW, "reckoning.rule-ph-and-aw"),
        (sour and moisture_pct is not None and moisture_pct < _RULE_DRY_PCT,
         "reckoning.rule-ph-and-moisture"),
    )  # fmt: skip
    return tuple(Message(words) for holds, words in met if holds)


def _ends(values: Sequence[float], *, least: bool) -> float:
    known = [value for value in values if not np.isnan(value)]
    if not known:
        return float("nan")
    return min(known) if least else max(known)
