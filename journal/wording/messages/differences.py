"""What the facts of a make are called where it is laid beside others."""

from __future__ import annotations

from journal.records.kinds import READING_KINDS
from journal.wording.sentences import Messages, Values


def _acid(values: Values) -> str:
    """ "curd pH, drain begins"."""
    return f"{READING_KINDS[values['kind']].label}, {values['of']} begins"


DIFFERENCES: Messages = {
    "findings.fact-acid": _acid,
    "findings.fact-acid-gain": "acid gained in the {of}",
    "findings.fact-culture-cold": "time too cold for the culture to grow",
    "findings.fact-culture-hot": "time too hot for the culture to grow",
    "findings.fact-culture-slow": "time cold for the culture",
    "findings.fact-culture-time": "culture time in the {of}",
    "findings.fact-culture-warm": "time warm for the culture",
    "findings.fact-culture-well": "time in the culture's good range",
    "findings.fact-degree-minutes": "degree-minutes off the plan",
    "findings.fact-delay": "delay of the day",
    "findings.fact-length": "{of}",
    "findings.fact-litres": "milk",
    "findings.fact-milk-at-end": "milk as the {of} ended",
    "findings.fact-outside": "time outside the allowed range",
    "findings.fact-steepest": "steepest rise of the cook",
    "findings.fact-variable": "{of}",
    "findings.fact-yield": "yield",
}
