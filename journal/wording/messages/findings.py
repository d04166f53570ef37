"""The sentences of `findings` that no template can write."""

from __future__ import annotations

import difflib

from journal.records.kinds import READING_KINDS
from journal.wording.sentences import Messages, Values


def _acid(values: Values) -> str:
    """ "curd pH, drain begins"."""
    return f"{READING_KINDS[values['kind']].label}, {values['of']} begins"


PLAN_VARIABLES = {
    "culture_dose": "culture",
    "culture_dose_in_ml": "culture",
    "milk_ripened": "ripening",
    "rennet_dose": "rennet",
    "rennet_dose_in_g": "rennet",
    "set": "set",
    "curd_size": "curd size",
    "heal": "healing",
    "cook_rate": "cook rate",
    "cook_temperature": "cook temperature",
    "stirring": "stirring",
    "water_added": "wash water",
    "ph_at_drain": "acid at draining",
    "cheddaring": "cheddaring",
    "ph_at_milling": "acid at milling",
    "salt_in_curd": "salt",
    "press_pressure": "press pressure",
    "time_in_the_press": "pressing",
    "time_in_brine": "time in brine",
}
"""What a plan changes, in words, by the key of the make variable."""


def _plan_variable(values: Values) -> str:
    return PLAN_VARIABLES[values["key"]]


def _no_such_defect(values: Values) -> str:
    typed, known = values["defect"], values["known"]
    near = difflib.get_close_matches(typed.lower(), known, 3, 0.5) or sorted(known)[:8]
    return f"No cause is published here for “{typed}”. Words that have one: {', '.join(near)}."


MESSAGES: Messages = {
    "findings.fact-acid": _acid,
    "findings.lever": _plan_variable,
    "findings.no-such-defect": _no_such_defect,
}
