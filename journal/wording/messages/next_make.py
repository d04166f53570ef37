"""The sentences of a next make: what to change, and why."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values
from journal.wording.style import Style

LEVERS = {
    "culture_dose": "culture",
    "culture_dose_in_ml": "culture",
    "milk_ripened": "ripening",
    "rennet_dose": "rennet",
    "rennet_dose_in_g": "rennet",
    "set": "set",
    "curd_size": "curd size",
    "heal": "healing",
    "cook_rate": "pace of the cook",
    "cook_temperature": "heat of the cook",
    "stirring": "stirring",
    "water_added": "wash water",
    "ph_at_drain": "acid at draining",
    "cheddaring": "cheddaring",
    "ph_at_milling": "acid at milling",
    "salt_in_curd": "salt",
    "press_pressure": "pressure of the press",
    "time_in_the_press": "pressing",
    "time_in_brine": "time in brine",
}
"""What a plan changes, as it is said, by the key of the make variable."""


def _lever(values: Values, _style: Style) -> str:
    return LEVERS[values["key"]]


_AMOUNT = "{unit:ahead}{value:short}{unit:behind}"
_ALWAYS = "{unit:ahead}{always:short}{unit:behind}"
_BETWEEN = "between {unit:ahead}{low:short} and {high:short}{unit:behind}"

NEXT_MAKE: Messages = {
    "findings.lever": _lever,
    "findings.change-only": f"Change only the {{what}}: {_AMOUNT} instead of {{was:short}}.",
    "findings.change-to": f"{{what}} {_AMOUNT}",
    "findings.proposed-from-scores": "The next make is proposed from scores: choose one of them.",
    "findings.proposed-from-five": "Changes are proposed from five scored makes on.",
    "findings.nothing-to-change": "The plan says nothing that could be changed and learned from.",
    "findings.nothing-promises": (
        "No change promises a better score yet: every range reaches nought."
    ),
    "findings.more-not-better": (
        "More {score} is not always better, so nothing is proposed to improve."
    ),
    "findings.mind-the-acid": (
        "{why} The acid may come at another pace: no forecast stands behind that, so keep to the "
        "gates."
    ),
    "findings.learn-not-known": (
        f"{{variable:first}} is known of {{makes}}, there {_ALWAYS}, so nothing can be told. "
        f"Makes at {_AMOUNT} would begin to tell, if it is noted each time."
    ),
    "findings.learn-never-varied": (
        f"In {{makes}} it was always {_ALWAYS}, so nothing can be told. "
        f"A make at {_AMOUNT} would be the first to tell."
    ),
    "findings.learn-moved-together": (
        "In {makes} it always moved together with {names:list}, so nothing can tell them apart. "
        "Changing it alone would."
    ),
    "findings.learn-moved-little": f"In {{makes}} it only moved {_BETWEEN}, {{sure}}. {{then}}",
    "findings.learn-moved": f"In {{makes}} it moved {_BETWEEN}, {{sure}}. {{then}}",
    "findings.known-but-its-size": "and what it does is clear, but not how much",
    "findings.only-leans": "and what it does only leans",
    "findings.nothing-told": "and still nothing can be told",
    "findings.would-halve": f"Two makes at {_AMOUNT} would halve the range of its effect.",
    "findings.would-take-a-third": (
        f"Two makes at {_AMOUNT} would narrow the range of its effect by a third."
    ),
    "findings.would-narrow": (
        f"Two makes at {_AMOUNT} would narrow the range of its effect by {{percent:.0f}} %."
    ),
    "findings.should-add": (
        "It should add about {gain:.1f} points of {score}, 8 times in 10 between {gain_low:.1f} "
        "and {gain_high:.1f}. The next make itself would lie between {low:.1f} and {high:.1f} as "
        "often."
    ),
    "findings.change-never-made": "Nothing can be foretold of a change that was never made.",
}
