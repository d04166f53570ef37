"""The sentences of `findings` that no template can write: a variable's word goes by its key."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values, worded

PLAN_VARIABLES = {
    "culture_dose": "wording.lever-culture",
    "culture_dose_in_ml": "wording.lever-culture",
    "milk_ripened": "wording.lever-ripening",
    "rennet_dose": "wording.lever-rennet",
    "rennet_dose_in_g": "wording.lever-rennet",
    "set": "wording.lever-set",
    "curd_size": "wording.lever-curd-size",
    "heal": "wording.lever-healing",
    "cook_rate": "wording.lever-cook-rate",
    "cook_temperature": "wording.lever-cook-temperature",
    "stirring": "wording.lever-stirring",
    "water_added": "wording.lever-wash-water",
    "ph_at_drain": "wording.lever-acid-at-draining",
    "cheddaring": "wording.lever-cheddaring",
    "ph_at_milling": "wording.lever-acid-at-milling",
    "salt_in_curd": "wording.lever-salt",
    "press_pressure": "wording.lever-press-pressure",
    "time_in_the_press": "wording.lever-pressing",
    "time_in_brine": "wording.lever-time-in-brine",
}
"""What a plan changes, in words, by the key of the make variable."""


def _plan_variable(values: Values) -> str:
    return worded(PLAN_VARIABLES[values["key"]])


MESSAGES: Messages = {"findings.lever": _plan_variable}
