"""The sentences of `findings`."""

from __future__ import annotations

from journal.wording.messages.differences import DIFFERENCES
from journal.wording.messages.next_make import NEXT_MAKE
from journal.wording.messages.why import WHY
from journal.wording.sentences import Messages

_SPOONS = (
    "{variable} was measured in spoons in {spooned} of {makes:make|makes} and is converted to "
    "grams at {g_per_ml:.3g} g/ml ({source}), 19 times in 20 within {low:.2g} to {high:.2g}."
)

_TABLES: Messages = {
    "findings.step-of-nought": (
        "The typical change of {variable} must be a number other than zero."
    ),
    "findings.table-uneven": ("A table of scores needs a make, a wheel and a score in each row."),
    "findings.row-without-score": "Every row of a table of scores needs a score.",
    "findings.endless-value": ("A make variable cannot be infinite; leave it empty instead."),
    "findings.no-such-variable": (
        "There is no variable called {variable}. There are: {names:commas}."
    ),
    "findings.age-stays": ("The age at tasting is always included, as one more variable."),
    "findings.age-again": "Moved with the age at tasting, and told by it: {names:commas}.",
    "findings.estimates-by-name": "Estimates, looked at only where named: {names:commas}.",
    "findings.ticked": "Looked at too, as ticked under Further variables: {names:commas}.",
    "findings.left-age": "moves with the age at tasting",
    "findings.left-hardly": "hardly varied",
    "findings.left-estimate": "an estimate from milk, salt and weight",
    "findings.left-figure": "a figure worked out from the curves",
    "findings.left-pair": "two that act together, looked at only where you expect it",
    "findings.left-unknown": "not known of any wheel with this score",
    "findings.hardly-varied": "Hardly varied, and left out unless named: {names:commas}.",
    "findings.air-read-seldom": (
        "The air was read on fewer than half of the days of {wheels:wheel|wheels}, so what "
        "{wheels:|it|they} stood in is estimated like any gap: {names:commas}."
    ),
    "findings.no-number-under": "No row of the table has a number under {column}.",
    "findings.no-such-column": (
        "The table has no column called {column}. Its columns are: {columns:commas}."
    ),
    "findings.column-without-numbers": "The column {column} does not hold numbers.",
    "findings.no-column-to-look-at": (
        "The table has no column beside the score that can be looked at: it needs one of numbers, "
        "or one of words that come again."
    ),
    "findings.row-left-out": "One row without a score was left out.",
    "findings.rows-left-out": "{rows} rows without a score were left out.",
    "findings.summing-row": "The last row is a total and was left out.",
    "findings.summing-rows": "The last {rows} rows are totals and were left out.",
    "findings.cell-unread": (
        "One cell in the column {column} is not a number and counts as missing."
    ),
    "findings.cells-unread": (
        "{cells} cells in the column {column} are not numbers and count as missing."
    ),
    "findings.nothing-scored": ("No wheel has a score for {score}. There are no scores yet."),
    "findings.no-such-score": (
        "No wheel has a score for {score}. There are scores for: {names:commas}."
    ),
    "findings.no-variable-yet": ("No make with a score for {score} has a variable to study yet."),
    "findings.never-measured": "{variable} was never measured.",
    "findings.missing": (
        "{variable} is missing in {lost} of {makes:make|makes}; gaps are estimated "
        "from the other variables, or filled with the median."
    ),
    "findings.share-more": "+{percent} %",
    "findings.for-usual": "for {usual}",
    "findings.only-kind": "only {kind}",
    "findings.too-few-of-a-kind": (
        "There are too few makes of each {category} ({kinds} kinds in {makes} makes) "
        "to tell them apart."
    ),
    "findings.dose-in-two-units": (
        "{variable} is in {unit} in {own} of {makes:make|makes} and in {other_unit} "
        "in {rest}: they are studied separately, as {variable} and {other}."
    ),
    "findings.spoons-by-lot": _SPOONS,
    "findings.spoons-as-usual": (
        f"{_SPOONS} Weigh a level teaspoon and write it as the lot's strength, like 3 g/tsp."
    ),
    "findings.weight-by-lot": "from the lot's strength",
    "findings.weight-of-culture": "from memory, no source: packets differ",
    "findings.weight-of-salt": "fine salt; common practice, no source: coarse salt is lighter",
    "findings.defect-named": ("{defect} was named in {named} of {cards} samples scored."),
    "findings.defect-named-rarely": (
        "{defect} was named in {named} samples scored. Findings about a defect begin at {least}."
    ),
}

_COLUMNS: Messages = {
    "findings.not-looked-at": "Not looked at: {columns:commas}.",
    "findings.column-why": "“{column}” ({why})",
    "findings.column-dates": "holds dates",
    "findings.column-there": "says which wheels are still there",
    "findings.column-names": "only names the rows",
    "findings.column-make": "says which rows are one make",
    "findings.column-row-numbers": "only numbers the rows",
    "findings.column-remarks": "holds remarks",
    "findings.column-people": "says who tasted: scores are levelled by it",
    "findings.column-sessions": (
        "says which rows were tasted or made together: what they share is allowed for"
    ),
    "findings.column-repeats": "numbers repeats of one make",
    "findings.column-left-out": "left out, as chosen or as a calendar year",
    "findings.column-another-taster": "is what one taster gave; another score was asked for",
    "findings.column-empty": "is empty",
    "findings.column-all-different": "a different text in each row",
    "findings.column-too-few-of-each": (
        "{kinds} different words, with too few makes of each to compare"
    ),
    "findings.time-is-a-variable": (
        "“{column}” holds numbers and is read as a length of time, a variable. If it only says "
        "when the make was, leave it out with --variables."
    ),
    "findings.make-by-number": (
        "“{column}” repeats numbers: rows with the same number count as one make."
    ),
    "findings.other-scores": (
        "Tasted like the score itself: {names:list}. What goes with the score need not be its "
        "cause."
    ),
    "findings.rows-of-other-length": (
        "{rows:row has|rows have} more or fewer cells than the header; cells without a name were "
        "left out, missing ones are empty."
    ),
    "findings.columns-of-one-name": (
        "Several columns have one name; the later ones are called {names:list}."
    ),
}

_STUDY: Messages = {
    "findings.no-finding": "There is no finding about {variable}.",
    "findings.nothing-to-look-at": ("There is no scored wheel with a make variable to study yet."),
    "findings.stopped": "The study was stopped before it finished.",
    "findings.moved-together": "{names:list} changed together: treated as one.",
    "findings.ranges-begin": "Ranges need at least {least} makes, not {makes}.",
    "findings.all-scores-alike": (
        "Every wheel has the same score, so there is nothing to learn from."
    ),
    "findings.no-least-squares": (
        "There are too few makes for least squares, so its columns are empty."
    ),
    "findings.spreads": (
        "Spread of single scores, in points (sd) and with age taken out: makes "
        "{make:.1f}, wheels of a make {wheel:.1f}, assessors {assessor:.1f}, "
        "sessions {session:.1f}, the rest {rest:.1f}."
    ),
    "findings.every-make": "{makes:make|makes}",
    "findings.some-makes": "{known} of {makes:make|makes}",
    "findings.too-few-rows": (
        "{rows:row is|rows are} too few for least squares on {variables:variable|variables}."
    ),
    "findings.variables-alike": (
        "Some variables changed together exactly and cannot be told apart."
    ),
    "findings.too-few-for-mixed": "{scores} scores are too few for a mixed model.",
    "findings.columns-alike": "Some columns of the mixed model cannot be told apart.",
    "findings.make-without-score": ("{make} has no score, so nothing can be predicted from it."),
    "findings.too-few-to-foretell": "There are too few makes to predict anything yet.",
    "findings.known-of-too-few": (
        "{variable} is known for only {known} of {makes} makes: too few to learn from."
    ),
    "findings.never-varied": ("{variable} never changed, so its effect cannot be seen."),
    "findings.make-on-both-sides": "A make cannot be both before and after the change.",
    "findings.too-few-either-side": (
        "{before} makes before and {after} after are too few: at least three of each are needed."
    ),
    "findings.season-changed": (
        "The milk's season changed at the same time: {before:list} before, "
        "{after:list} after. The two effects cannot be told apart."
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
    "findings.panel-all-alike": (
        "Every score is the same, so nothing can be said about the panel."
    ),
    "findings.defect-agreement-uneven": (
        "Agreement on defects needs the same two people or more on each sample."
    ),
    "findings.panel-uneven": (
        "A panel's scores need a wheel, an assessor, a session and an age each."
    ),
    "findings.no-score-yet": "There is no score yet.",
    "findings.wheels-without-score": "{wheels:wheel has|wheels have} no score yet.",
    "findings.wheels-unlinked": (
        "Some wheels share no assessor with the others, so their scores may differ "
        "because of who tasted them."
    ),
    "findings.scatter-unknown": (
        "Each wheel has too few scores to say how much single scores scatter; let "
        "more people taste the same wheels."
    ),
    "findings.too-few-codes": "One session has codes for {free} cups, not for {wanted}.",
    "findings.sitting-without-sample": "A session needs a sample.",
    "findings.sitting-without-people": "A session needs a sample and someone to taste it.",
    "findings.too-many-samples": (
        "Nobody can taste {samples} samples in one session; {most} is the most."
    ),
    "findings.test-without-people": "A test needs someone to taste.",
    "findings.test-of-two": "A {kind} test compares two cheeses.",
    "findings.ranking-of-two": ("A ranking needs three cheeses; for two, use a paired comparison."),
    "findings.ranking-too-small": (
        "A ranking needs two people and two cheeses, each ranked by everyone."
    ),
    "findings.no-such-test": "There is no test called {kind}.",
    "findings.impossible-count": "{right} right of {answers} answers is impossible.",
    "findings.no-answer-yet": "Nobody has answered yet.",
    "findings.share-outside": "The share and the power must lie between 0 and 100 %.",
    "findings.no-d-prime": "No published d′ is known for a {kind} test.",
    "findings.d-prime-below-zero": "d′ is 0 or more, not {d:g}.",
    "findings.too-many-answers": "That takes more than {most} answers; look for a larger share.",
}

_SERIES: Messages = {
    "findings.low-to-high": "{low:short} to {high:short}",
    "findings.low-not-below-high": "{variable} needs a low value below its high one.",
    "findings.series-variables": "A series changes two to {most} variables.",
    "findings.series-too-few": (
        "A series of {variables} variables needs at least {least} makes at low and high."
    ),
    "findings.series-middle": "A series has up to {most} makes in the middle.",
    "findings.series-makes": "A series has {least} to {most} makes.",
    "findings.series-parts": "Each part of a series needs at least two makes.",
    "findings.too-few-scored": (
        "{scored:make|makes} of the series {scored:|has|have} a score: ranges need "
        "at least {least}."
    ),
    "findings.factor-not-moved": ("{variable} has not changed yet among the makes with a score."),
    "findings.outside-bounds": (
        "{variable} may go from {least:short} to {most:short}{unit:behind} in this "
        "plan: outside that it is not safe or does not work."
    ),
    "findings.no-step-is-safe": (
        "{variable} cannot make a typical change in this plan and stay safe: choose another."
    ),
    "findings.impossible-beside": ("{variable} cannot be {value:g} together with the others."),
    "findings.values-apart": "These values do not go together: {why}",
    "findings.no-plan-settles": "No plan sets {key}, so a series cannot vary it.",
    "findings.no-make-variable": "There is no make variable {key}.",
    "findings.no-ripening": "The plan has no ripening stage to lengthen.",
    "findings.no-climbing-cook": "The plan has no cook that raises the temperature.",
    "findings.too-hot": "{celsius:g} °C is too hot for the culture.",
    "findings.no-gate": "The plan has no acid target there.",
    "findings.too-much-pressure": "{kpa:.0f} kPa is more than any cheese is pressed with.",
}

MESSAGES: Messages = {
    **DIFFERENCES, **_TABLES, **_COLUMNS, **_STUDY, **_PANEL, **_SERIES, **NEXT_MAKE, **WHY,
}  # fmt: skip
