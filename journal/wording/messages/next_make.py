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
_ALWAYS = "{unit:ahead}{always:short}{unit:behind}"
_BETWEEN = "between {unit:ahead}{low:short} and {high:short}{unit:behind}"

NEXT_MAKE: Messages = {
    "findings.lever": _lever,
    "findings.change-only": f"Change only the {{what}}: {_AMOUNT} instead of {{was:short}}.",
    "findings.change-to": f"{{what}} {_AMOUNT}",
    "findings.proposed-from-scores": (
        "The next make is proposed from a score, not from a defect: choose a score."
    ),
    "findings.proposed-from-five": "Changes are proposed once five makes have scores.",
    "findings.nothing-to-change": ("The plan has nothing that could be changed to learn from."),
    "findings.nothing-promises": (
        "No change promises a better score yet: every range includes zero."
    ),
    "findings.more-not-better": (
        "More {score} is not always better, so no improvement is proposed."
    ),
    "findings.mind-the-acid": (
        "{why} The acid may then come faster or slower, and no forecast covers that: "
        "watch the acid targets."
    ),
    "findings.learn-not-known": (
        f"{{variable:first}} is known for {{makes}}, at {_ALWAYS}, so its effect cannot "
        f"be seen. Makes at {_AMOUNT} would begin to show it, if you note it each time."
    ),
    "findings.learn-never-varied": (
        f"In {{makes}} it was always {_ALWAYS}, so its effect cannot be seen. "
        f"A make at {_AMOUNT} would be the first to show it."
    ),
    "findings.learn-moved-together": (
        "In {makes} it always changed together with {names:list}, so their effects "
        "cannot be told apart. Changing it alone would separate them."
    ),
    "findings.learn-moved-little": f"In {{makes}} it was only {_BETWEEN}, {{sure}}. {{then}}",
    "findings.learn-moved": f"In {{makes}} it was {_BETWEEN}, {{sure}}. {{then}}",
    "findings.known-but-its-size": "and its effect is clear, but not its size",
    "findings.only-leans": "and its effect is not clear yet",
    "findings.nothing-told": "and its effect is still unknown",
    "findings.would-halve": f"Two makes at {_AMOUNT} would halve the range of its effect.",
    "findings.would-take-a-third": (
        f"Two makes at {_AMOUNT} would narrow the range of its effect by a third."
    ),
    "findings.would-narrow": (
        f"Two makes at {_AMOUNT} would narrow the range of its effect by {{percent:.0f}} %."
    ),
    "findings.should-add": (
        "It should add about {gain:.1f} points of {score}, 8 times in 10 between "
        "{gain_low:.1f} and {gain_high:.1f}. The next make itself should score "
        "between {low:.1f} and {high:.1f}, also 8 times in 10."
    ),
    "findings.change-never-made": (
        "The effect of a change that was never made cannot be predicted."
    ),
}
