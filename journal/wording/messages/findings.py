"""The sentences of `findings`."""

from __future__ import annotations

from journal.wording.messages.next_make import NEXT_MAKE
from journal.wording.sentences import Messages

_SPOONS = (
    "{variable} was measured in spoons in {spooned} of {makes:make|makes} and counts in grams: a "
    "spoonful is taken to weigh {g_per_ml:.3g} g/ml ({source}), {low:.2g} to {high:.2g} g/ml 19 "
    "times in 20."
)

_TABLES: Messages = {
    "findings.step-of-nought": "The step of {variable} must be a number other than nought.",
    "findings.table-uneven": "A table of scores needs as many makes, wheels and scores as rows.",
    "findings.row-without-score": "Every row of a table of scores needs a score.",
    "findings.endless-value": "A make variable cannot be endless; leave it empty instead.",
    "findings.no-such-variable": (
        "There is no variable called {variable}. There are: {names:commas}."
    ),
    "findings.age-stays": (
        "The age at tasting always stays, and counts as one more variable looked at."
    ),
    "findings.columns-uneven": "The columns of the table are not all of one length.",
    "findings.no-number-under": "No row of the table has a number under {column}.",
    "findings.no-such-column": (
        "The table has no column called {column}. Its columns are: {columns:commas}."
    ),
    "findings.column-without-numbers": "The column {column} does not hold numbers.",
    "findings.no-column-of-numbers": "The table has no column of numbers beside the score.",
    "findings.row-left-out": "One row without a score was left out.",
    "findings.rows-left-out": "{rows} rows without a score were left out.",
    "findings.summing-row": "The last row sums the others up and was left out.",
    "findings.summing-rows": "The last {rows} rows sum the others up and were left out.",
    "findings.cell-unread": ("In the column {column} one cell is no number and counts as missing."),
    "findings.cells-unread": (
        "In the column {column} {cells} cells are no numbers and count as missing."
    ),
    "findings.nothing-scored": "No wheel has a score for {score}. Scores given: none yet.",
    "findings.no-such-score": "No wheel has a score for {score}. Scores given: {names:commas}.",
    "findings.no-variable-yet": ("No make with a score for {score} has a variable to look at yet."),
    "findings.never-measured": "{variable} was never measured.",
    "findings.missing": (
        "{variable} is missing in {lost} of {makes:make|makes}; what the other variables tell, "
        "else the middle value, stands in there."
    ),
    "findings.share-more": "+{percent} %",
    "findings.for-usual": "for {usual}",
    "findings.only-kind": "only {kind}",
    "findings.too-few-of-a-kind": (
        "Of each {category} there are too few makes ({kinds} kinds over {makes} makes) to tell "
        "them apart."
    ),
    "findings.dose-in-two-units": (
        "{variable} is in {unit} in {own} of {makes:make|makes} and in {other_unit} in {rest}: the "
        "two are kept apart, as {variable} and {other}."
    ),
    "findings.spoons-by-lot": _SPOONS,
    "findings.spoons-as-usual": (
        f"{_SPOONS} Weigh a level teaspoon and write it as the lot's strength, like 3 g/tsp."
    ),
    "findings.weight-by-lot": "as the lot says",
    "findings.weight-of-culture": "from memory, no source: packets differ",
    "findings.weight-of-salt": "fine salt; common practice, no source: coarse salt is lighter",
    "findings.defect-named": "{defect} was named on {named} of {cards} cards.",
    "findings.defect-named-rarely": (
        "{defect} was named on {named} cards. Findings about a defect begin at {least}."
    ),
}

_STUDY: Messages = {
    "findings.no-finding": "There is no finding about {variable}.",
    "findings.nothing-to-look-at": (
        "There is no scored wheel with a make variable to look at yet."
    ),
    "findings.stopped": "The findings were stopped before they were done.",
    "findings.moved-together": "{names:list} moved together: told as one.",
    "findings.ranges-begin": "Ranges begin at {least} makes, not at {makes}.",
    "findings.all-scores-alike": "Every wheel has the same score, so nothing can be told.",
    "findings.no-least-squares": (
        "There are too few makes for least squares, so its columns are empty."
    ),
    "findings.spreads": (
        "Single scores differ, in points (sd) and with age taken out, by makes {make:.1f}, wheels "
        "of a make {wheel:.1f}, assessors {assessor:.1f}, sessions {session:.1f}, the moment "
        "{rest:.1f}."
    ),
    "findings.every-make": "{makes:make|makes}",
    "findings.some-makes": "{known} of {makes:make|makes}",
    "findings.too-few-rows": (
        "{rows:row is|rows are} too few for least squares on {variables:variable|variables}."
    ),
    "findings.variables-alike": ("Some variables moved together exactly and cannot be told apart."),
    "findings.too-few-for-mixed": "{scores} scores are too few for a mixed model.",
    "findings.columns-alike": "Some columns of the mixed model cannot be told apart.",
    "findings.make-without-score": "{make} has no score, so nothing can start from it.",
    "findings.too-few-to-foretell": "There are too few makes to foretell anything yet.",
    "findings.known-of-too-few": (
        "{variable} is known of {known} of {makes} makes, so nothing can be told."
    ),
    "findings.never-varied": "{variable} never varied, so nothing can be told.",
    "findings.make-on-both-sides": "A make cannot stand before and after the change.",
    "findings.too-few-either-side": (
        "{before} makes before and {after} after are too few: three of each begin."
    ),
    "findings.season-changed": (
        "The milk's season changed with it: {before:list} before, {after:list} after. Nothing here "
        "can tell the two apart."
    ),
    "findings.december-to-february": "December to February",
    "findings.march-to-may": "March to May",
    "findings.june-to-august": "June to August",
    "findings.september-to-november": "September to November",
    "findings.age-differed": (
        "Ageing differed too: the age at tasting was {before:.3g}{unit:behind} before and "
        "{after:.3g}{unit:behind} after."
    ),
    "findings.also-differed": (
        "Also {variable} was {before:.3g}{unit:behind} before and {after:.3g}{unit:behind} after."
    ),
}

_PANEL: Messages = {
    "findings.agreement-too-small": (
        "Agreement needs two samples and two people, each scoring all of them."
    ),
    "findings.panel-all-alike": "Every score is the same, so nothing can be told of the panel.",
    "findings.defect-agreement-uneven": (
        "Agreement on defects needs the same two people or more on each sample."
    ),
    "findings.panel-uneven": (
        "A panel's scores need a wheel, an assessor, a sitting and an age each."
    ),
    "findings.no-score-yet": "There is no score yet.",
    "findings.wheels-without-score": "{wheels:wheel has|wheels have} no score yet.",
    "findings.wheels-unlinked": (
        "Some wheels share no assessor with the others, so their levels may differ by who tasted "
        "them."
    ),
    "findings.scatter-unknown": (
        "Each wheel has too few scores to say how much single scores scatter; more who taste the "
        "same wheels would tell."
    ),
    "findings.too-few-codes": "One session has codes for {free} cups, not for {wanted}.",
    "findings.sitting-without-sample": "A sitting needs a sample.",
    "findings.sitting-without-people": "A sitting needs a sample and someone who tastes.",
    "findings.too-many-samples": (
        "Nobody can taste {samples} samples at one sitting; {most} is the most."
    ),
    "findings.test-without-people": "A test needs someone who tastes.",
    "findings.test-of-two": "A {kind} test compares two cheeses.",
    "findings.ranking-of-two": "A ranking needs three cheeses; two make a paired comparison.",
    "findings.ranking-too-small": (
        "A ranking needs two people and two cheeses, each ranked by everyone."
    ),
    "findings.no-such-test": "There is no test called {kind}.",
    "findings.impossible-count": "{right} right of {answers} answers cannot be.",
    "findings.no-answer-yet": "Nobody has answered yet.",
    "findings.share-outside": "A share and a wanted power lie between 0 and 100 %.",
    "findings.too-many-answers": "That takes more than {most} answers; look for a larger share.",
}

_SERIES: Messages = {
    "findings.low-to-high": "{low:short} to {high:short}",
    "findings.low-not-below-high": "{variable} needs a low value below its high one.",
    "findings.series-variables": (
        "A series changes two or three variables; more wants more makes."
    ),
    "findings.series-makes": "A series has {least} to {most} makes.",
    "findings.series-parts": "Each part of a series needs two makes at least.",
    "findings.too-few-scored": (
        "{scored:make|makes} of the series {scored:|has|have} a score: ranges begin at {least}."
    ),
    "findings.factor-not-moved": "{variable} has not moved yet among the makes with a score.",
    "findings.outside-bounds": (
        "{variable} may go from {least:short} to {most:short}{unit:behind} in this plan, so that "
        "it stays safe and works."
    ),
    "findings.no-step-is-safe": (
        "{variable} cannot move a practical step in this plan and stay safe: choose another."
    ),
    "findings.impossible-beside": "{variable} cannot be {value:g} beside the others.",
    "findings.values-apart": "These values do not go together: {why}",
    "findings.no-plan-settles": "No plan settles {key}, so a series cannot vary it.",
    "findings.no-make-variable": "There is no make variable {key}.",
    "findings.no-ripening": "The plan has no ripening of its own to lengthen.",
    "findings.no-climbing-cook": "The plan has no cook that climbs.",
    "findings.too-hot": "{celsius:g} °C is too hot for the culture.",
    "findings.no-gate": "The plan has no gate there.",
    "findings.too-much-pressure": "{kpa:.0f} kPa is more than any cheese is pressed with.",
}

MESSAGES: Messages = {**_TABLES, **_STUDY, **_PANEL, **_SERIES, **NEXT_MAKE}
