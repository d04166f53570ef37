"""What of a defect or a make may hurt the eater; said before any advice on taste.

Which defect is a hazard stands in `hazards.csv`, with the rows of `danger.csv` it rests on; the
sentences stand in `wording`. It is never said that a cheese is
safe, and local guidance comes first.
"""

from __future__ import annotations

import math

from journal.curves.plan_safety import NOT_PASTEURISED, RAW_DAYS
from journal.message import Message
from journal.records.tables import table
from journal.records.whole import WholeMake

MESSAGES = {
    "gas": "findings.health-gas",
    "mould": "findings.health-mould",
    "slow-acid": "findings.health-slow-acid",
    "soft": "findings.health-soft",
    "metal": "findings.health-metal",
    "mites": "findings.health-mites",
}
"""The message of each kind of hazard in the table."""


def hazards_of(make: WholeMake, defect: str, age_days: float) -> tuple[Message, ...]:
    """What to say of health: of the make's own verdict, of raw milk, of the defect."""
    found = []
    if make.verdict is not None:
        found.append(make.verdict.message)
    rows = table("hazards")
    for kind, words, named in zip(rows["health"], rows["defects"], rows["rows"], strict=True):
        if defect in words.split(";"):
            found.append(Message(MESSAGES[kind], defect=defect, rows=named.split(";")))
    treatment = make.make.milk.treatment
    young = not math.isfinite(age_days) or age_days < RAW_DAYS
    if treatment in NOT_PASTEURISED and (found or young):
        found.append(Message("findings.health-raw", treatment=treatment, days=round(RAW_DAYS)))
    return tuple(found)
