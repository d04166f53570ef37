"""The sentences of a next make: what to change, and why."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values

LEVERS = {
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


def _lever(values: Values) -> str:
    return LEVERS[values["key"]]


_AMOUNT = "{unit:ahead}{value:short}{unit:behind}"

NEXT_MAKE: Messages = {
    "findings.lever": _lever,
    "findings.change-only": f"Change only the {{what}}: {_AMOUNT} instead of {{was:short}}.",
    "findings.change-from": f"{{what}} {_AMOUNT} instead of {{was:short}}",
    "findings.change-several": "Change the {names:list}.",
    "findings.many-changes": "{count:change|changes} at once.",
    "findings.best-and-many": "The best known plan, and {count:change|changes}.",
    "findings.best-and-change": "The best known plan, and change the {names:list}.",
    "findings.as-usual": "as usual, until more is known of it.",
    "findings.as-last-time": "Make it as last time.",
    "findings.proposed-from-scores": (
        "The next make is proposed from a score, not from a defect: choose a score."
    ),
    "findings.proposed-from-five": "Changes are proposed once five makes have scores.",
    "findings.nothing-to-change": ("The plan has nothing that could be changed to learn from."),
    "findings.nothing-promises": (
        "No change is worth a make now: the makes that wait for scores teach more."
    ),
    "findings.more-not-better": (
        "More {score} is not always better, so no next make is proposed: choose a score."
    ),
    "findings.promises-more": "should add {gain:.1f}, or cost {cost:.1f} if wrong.",
    "findings.tried-to-learn": "to learn: may add {gain:.1f}, or cost {cost:.1f}.",
    "findings.from-scored": "From {makes:make|makes} with scores.",
    "findings.from-scored-and-waiting": (
        "From {makes:make|makes} with scores; {waiting:make|makes} not scored yet are counted in."
    ),
}
