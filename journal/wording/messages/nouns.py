"""The sentences of the nouns of `records`: makes, wheels, tastings, the stock."""

from __future__ import annotations

from journal.wording.sentences import Messages, Values

_SOURCES = {
    "file": "a file that a logger keeps appending to",
    "topic": "an MQTT topic",
    "line": "a serial line",
}


def _source_strange(values: Values) -> str:
    return f"{_SOURCES[values['kind']]} has no {', '.join(values['names'])}."


_PAGES: Messages = {
    "records.page-no-answer": (
        "There is no answer in this text. An answer begins with {mark}: copy the whole message."
    ),
    "records.page-text-long": (
        "This is too much text for one answer. Copy only the message that begins with VATSIDE1."
    ),
    "records.page-answers-several": (
        "There are {count} different answers in this text. Take them one at a time."
    ),
    "records.page-answer-short": (
        "The answer is cut short. Ask for it once more, or for the small file."
    ),
    "records.page-answer-altered": (
        "The answer was changed on its way. Ask for it once more, or for the small file."
    ),
    "records.page-answer-impossible": (
        "No page of this program writes such an answer, so nothing was taken. Ask for it once more."
    ),
    "records.page-answer-empty": "The answer has no score and no note: there is nothing to take.",
}

_SHELF: Messages = {
    "records.brine-caution": (
        "A brine carries what grew in it from cheese to cheese. Keep it cold, skim "
        "it, boil it when it clouds or smells (hot brine scalds), and pour it away "
        "after a spoiled cheese. Salt does not kill everything. Local rules come "
        "first."
    ),
    "records.brine-lain": (
        "{cheeses:cheese has|cheeses have} been in it since its strength was last "
        "known: measure it."
    ),
    "records.brine-litres": "{litres:g} litres of brine is outside 0 to 10,000.",
    "records.brine-name": "A brine needs a name, such as “the brine”.",
    "records.brine-out-before-in": "The cheese went into the brine later than that.",
    "records.brine-salt": "{kg:g} kg of salt is outside 0 to 5000.",
    "records.brine-salt-wanted": (
        "{kg:.2f} kg of salt would raise it from {pct:.1f} to {wanted_pct:g} %."
    ),
    "records.brine-strength": (
        "{pct:g} % cannot be the strength of a brine: salt in the solution is above "
        "0 and at most {most_pct:.1f} %, where it is saturated."
    ),
    "records.brine-strong": ("It is stronger than {high_pct:g} %: salt will settle on the bottom."),
    "records.brine-weak": ("It is weaker than {low_pct:g} %: rinds turn slimy in it."),
    "records.brine-without-making": "Give its litres and strength too.",
    "records.brine-without-salt": "Give the salt added too.",
    "records.brine-without-strength": "Give its strength too.",
    "records.brine-without-water": "Give the water added too.",
    "records.culture-caution": (
        "Each generation can pick up other bacteria, and phage can leave it weak: a "
        "culture that sours slowly lets harmful bacteria grow. Take the next one "
        "only from a make that soured on time and smells clean, boil the jars, "
        "freeze a spare early, and start again from a packet when in doubt. Never "
        "take a culture from raw milk or from whey that stood warm. Local rules come "
        "first."
    ),
    "records.culture-failing": (
        "The last make took {minutes:.0f} min to sour by {by_ph:g} pH, usually "
        "{usual:.0f} min: the culture may be failing. Start again from a packet."
    ),
    "records.culture-name": "A culture needs a name: the one the plans use for it.",
    "records.culture-not-sour": (
        "At pH {ph:.2f} it is not as sour as a mother culture should be (below "
        "{below_ph:g}): do not use it."
    ),
    "records.culture-number": "The generations of a culture are counted from 1.",
    "records.culture-old": (
        "This is generation {number}. From generation {many} on, start again from a "
        "packet: other bacteria and phage build up."
    ),
    "records.culture-past": "Its last day was {on:date}: do not use it.",
    "records.culture-past-before-made": "Its last day is before the day it was made.",
    "records.culture-ph": "pH {ph:g} is outside 2 to 10.",
    "records.ingredient-left": "{left:g} {unit} left is outside 0 to 1,000,000.",
    "records.ingredient-name": ("An ingredient needs a name: the one the plans use for it."),
}

_MAKES: Messages = {
    "records.check-buffers": "A meter is checked in two buffers, such as 7.00 and 4.01.",
    "records.check-electrode": (
        "A working electrode does not give these two readings: check which is which, "
        "rinse it and try fresh buffers."
    ),
    "records.check-samples": "A check takes one or two known samples, and one reading for each.",
    "records.check-thermometer": "A thermometer more than {most_c:g} °C off is broken, or the ice "
    "had not begun to melt. Stir crushed ice with a little water and read again.",
    "records.extra-minutes": "{minutes:g} min more of {kind} is not possible.",
    "records.milk-farm": "Say whose milk it is, like Lower Mill farm.",
    "records.milk-ph": "A pH of {ph:g} is outside that of milk, {low:g} to {high:g}.",
    "records.milk-price": "A price of {price:g} for a litre is not possible.",
    "records.milk-fat": "{pct:g} % fat in milk is outside 0 to {most_pct:g} %.",
    "records.milk-litres": "The milk must be more than 0 and at most 10,000 litres, not "
    "{litres:g}.",
    "records.milk-protein": "{pct:g} % protein in milk is outside 0 to {most_pct:g} %.",
    "records.no-such-instrument": "There is no instrument “{word}”. There are: {known:commas}.",
    "records.not-kept": "This is not saved in the journal yet.",
    "records.timer-ends-before": "The timer {name} cannot stop before it began.",
    "records.timer-length": "A timer runs for at least a moment and at most 90 days.",
    "records.timer-name": "A timer needs a name.",
    "records.too-much-cheese": "{kg:g} kg of cheese cannot come from {litres:g} L of milk. Check "
    "the weights and their unit.",
    "records.too-much-whey": (
        "{whey_l:g} litres of whey cannot be part of the {litres:g} litres in the vat."
    ),
    "records.weight-jumped": "It was {last_kg:mass.3} last time: is {kg:mass.3} right?",
    "records.wheel-size": "A wheel of {mm:g} mm cannot be: give its size in mm, cm or inches.",
    "records.no-such-end": "“{word}” is not how a wheel goes. There are: {known:commas}.",
    "records.part-unknown": "Say how much was taken, as a part like 1/4 or as a weight.",
    "records.part-typed": "{typed:quoted} is no part of a wheel: write it like 1/4, 25 % or 300 g.",
    "records.size-typed": "{typed:quoted} is no size: write it like 16 x 8 cm.",
    "records.part-share": "{share:g} of a wheel cannot be: give a part like 1/4, or a weight.",
    "records.room-value": "{value:g} cannot be: it is {low:g} to {high:g}.",
    "records.air-without-value": "Give a temperature, a humidity, or both.",
    "records.room-air-temp": "{value:g} °C cannot be the air of a room.",
    "records.room-air-humidity": "A humidity of {value:g} % cannot be: it is 0 to 100 %.",
    "records.away-backwards": "The last day away is before the first: check both.",
    "records.weighing": "{kg:g} kg cannot be the weight of a wheel.",
    "records.wheel-heavier": "Heavier than when it left the press: is {kg:g} kg right?",
    "records.wheel-lighter": "{lost_pct:.0f} % lighter than when it left the press: is {kg:g} kg "
    "right?",
    "records.wheel-weight": "A wheel of {kg:g} kg cannot be: give its weight in kg or g.",
}

_TASTINGS: Messages = {
    "records.assessor-name": "An assessor needs a name.",
    "records.own-score-halves": "“{attribute}”: give 0 to 10 in halves, like 7 or 7.5; not "
    "{value:g}.",
    "records.sample-cheese": ("A sample is a wheel, or a cheese from elsewhere with a name."),
    "records.scale-value": "A scale goes from 0 to 10; {value:g} is outside.",
    "records.score-attribute": "A score needs the attribute it is for.",
    "records.score-halves": "{attribute}: give 0 to 10 in halves, like 7 or 7.5; not {value:g}.",
    "records.score-value": "A score goes from 0 to 10; {value:g} is outside.",
    "records.series-ends": "Each variable of a series needs a low and a high value.",
    "records.series-low-above-high": "A low value of a series must lie below its high one.",
    "records.series-name": "A series needs a name.",
    "records.series-variables": "A series changes two to six variables.",
    "records.sheet-attributes": "A score sheet names each attribute once.",
    "records.test-answer": "An answer to a {kind} test names {cups} of its cups.",
    "records.test-attribute": ("A {kind} needs an attribute to compare, such as bitter or salt."),
    "records.test-cheese": ("A cheese in a test is a wheel, or one from elsewhere with a name."),
    "records.test-codes": "Each cup of a set has one code.",
    "records.test-cups": "An answer names cups of its own set, each once.",
    "records.test-no-right-answer": "A {kind} has no right answer.",
}

_FILES: Messages = {
    "records.in-own-folder": (
        "{name} is in the folder of the program itself, {folder}: cleaning that up, "
        "or a new version, can delete it. Close it and move it, with its folder of "
        "photos, to your documents."
    ),
    "records.own-file-missing": (
        "The program's own file {path} is missing: install the program again."
    ),
    "records.source-lacks": "The {key} of {name} is not given yet.",
    "records.source-name": "A source needs a name of at most {most} letters.",
    "records.source-number": "The {key} of {name} is not a whole number.",
    "records.source-settings": "The settings of {name} cannot be read; set it up again.",
    "records.source-strange": _source_strange,
}

NOUNS: Messages = {**_SHELF, **_MAKES, **_TASTINGS, **_PAGES, **_FILES}
