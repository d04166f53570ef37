"""The sentences of `curves`: what left its range, the acid, whether a cheese may be eaten."""

from __future__ import annotations

from journal.records.instants import local
from journal.records.kinds import READING_KINDS
from journal.wording.dates import clock, format_day
from journal.wording.messages.plan_faults import FAULTS
from journal.wording.sentences import Messages, Values


def _basis(values: Values) -> str:
    """What a forecast rests on."""
    readings, past, acid_targets = values["readings"], values["past"], values["acid_targets"]
    usual = f"the usual course of a {values['culture']} culture"
    usual += " and the plan's acid targets" if acid_targets else ""
    noun = "acidity reading" if values["titrated"] else "pH reading"
    own, makes = _counted(readings, noun), _counted(past, "past make")
    if values["enough"]:
        if past:
            return f"Based on {own}, and a little on {makes}."
        verb = "fill" if acid_targets else "fills"
        return f"Based on {own} and no past make; {usual} {verb} in the rest."
    few = f"Only {own}" if readings else "No pH reading yet"
    alone = "" if past else " and no past make"
    return f"{few}{alone}, so this relies on {makes if past else usual}."


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _read(values: Values) -> str:
    """ "curd pH 6.58"."""
    kind = READING_KINDS[values["kind"]]
    unit = "" if kind.quantity == "ph" else f" {kind.unit}"
    return f"{kind.label} {values['value']:.{kind.digits}f}{unit}"


def _when(values: Values) -> str:
    """The time of day, with its day where that is another than the make's."""
    at = values["at"]
    day = format_day(local(at.at_ms, at.zone), year=False)
    return clock(at.at_ms, at.zone) + (f" on {day}" if values["other_day"] else "")


def _read_at(values: Values) -> str:
    return f"{_read(values)} at {_when(values)}"


def _reading_gone(values: Values) -> str:
    return f"The reading of {_when(values)} is no longer there."


def _target_missed(values: Values) -> str:
    """ "drain: curd pH 6.45 at 11:40, not 6.10 to 6.20"."""
    at, digits = values["at"], READING_KINDS[values["kind"]].digits
    low, high = (f"{values[end]:.{digits}f}" for end in ("low", "high"))
    when = clock(at.at_ms, at.zone)
    return f"{values['stage']}: {_read(values)} at {when}, not {low} to {high}"


_REFUSALS: Messages = {
    "curves.band-grid": "A band needs a grid wider than zero.",
    "curves.forecast-of": "A forecast is for curd or whey, not for “{of}”.",
    "curves.forecast-ph": "pH {ph:g} cannot be forecast: give one between 2 and 10, like 5.4.",
    "curves.lengths-differ": "A curve needs one time for each value.",
    "curves.moment-not-come": ("{make} has no “{moment}”: choose another moment to align at."),
    "curves.no-clock": "There is no clock called “{name}”. There are: {known:commas}.",
    "curves.no-column": "A curve needs at least one column to be drawn in.",
    "curves.no-culture-type": ("There is no culture type “{name}”. There are: {known:commas}."),
    "curves.no-moment": "There is no moment called “{name}”. There are: {known:commas}.",
    "curves.no-rate": "Two readings within half an hour are needed to tell how fast it warms.",
    "curves.best-temperature": (
        "A culture's best temperature lies between its limits, nearer the upper."
    ),
    "curves.unsettled": ("No curve fits these readings: look for one that is wrong."),
    "curves.vessel-gains": "A vessel cannot gain warmth from a colder room.",
    "curves.vessel-instants": "The times of a vessel's readings must be in order.",
}

_COMPANY: Messages = {
    "curves.band-of-none": "A band needs at least two makes.",
    "curves.band-of-few": "From the lowest to the highest of {makes} makes.",
    "curves.band": "Where 8 in 10 of {makes} makes lie.",
}

_EVENTS: Messages = {
    "curves.milk-last-read": (
        "Milk last read {minutes:duration} ago: {read_c:temperature.1} at {at:clock}."
    ),
    "curves.known-minutes": "{minutes:.0f} min",
    "curves.at-readings": "at {readings:reading|readings}",
    "curves.outside": (
        "The milk {lasts:|has been|was} {above:|above|below} its allowed range "
        "{known:|for |}{how_long} {lasts:|since|from} {since:clock}: by "
        "{mean_c:temperature_difference.1} on average, "
        "by {worst_c:temperature_difference.1} at most."
    ),
    "curves.cook-over-limit": (
        "The cook {lasts:|is|was} faster than the plan allows: "
        "{rate:temperature_rate.2}{lasts:| so far|}, "
        "planned {planned:temperature_rate.2}, limit {limit:temperature_rate.2}."
    ),
    "curves.cook-quick": (
        "The cook {lasts:|is|was} faster than planned: {rate:temperature_rate.2}{lasts:| so "
        "far|}, planned {planned:temperature_rate.2}."
    ),
    "curves.cook-lags": (
        "The cook {lasts:|is|was} slower than planned: {rate:temperature_rate.2}{lasts:| so "
        "far|}, planned {planned:temperature_rate.2}."
    ),
}

_ACID: Messages = {
    "curves.basis": _basis,
    "curves.basis-but": (
        "{basis} {titrated} {titrated:|acidity reading|acidity readings} since the "
        "wash {titrated:|is|are} left out: water dilutes the whey, and its acidity "
        "no longer shows whether the curd sours. Read the pH of the curd."
    ),
    "curves.limit-published": (
        "published for {family} cheese after {hours:.0f} hours: {note} ({source})"
    ),
    "curves.limit-usual": "usual for {family} cheese after {hours:.0f} hours: {note} ({source})",
    "curves.limit-own": (
        "the plan's own acid target is {of} at pH {ph:.2f} or below "
        "{minutes:duration} after the culture (common practice, no source)"
    ),
    "curves.slow": (
        "The acid is slow: {of} at pH {ph:.2f} expected {minutes:duration} after the culture, "
        "{low:.2f} to {high:.2f}."
    ),
    "curves.slow-by-limit": (
        "The acid is slow: {of} at pH {ph:.2f} expected {minutes:duration} after the culture, "
        "{low:.2f} to {high:.2f}; {limit}."
    ),
    "curves.stalled": "This culture is slow or has stalled ({chance:in-hundred}).",
    "curves.may-stall": (
        "The culture may be slow or stalling ({chance:in-hundred}): read the pH soon."
    ),
    "curves.cautioned": "{said} {caution}",
    "curves.caution": (
        "In a slow vat Staphylococcus aureus can grow, mostly in the first six "
        "hours, and leave toxin (J. Food Prot. 2006 69:2161). The toxin lasts: over "
        "three years in cheddar (Tatini et al., J. Dairy Sci.), so ageing does not "
        "help. Salting curd whose culture is dead helps it grow (J. Food Prot. 1981 "
        "44:189). Common practice, no source: check meter and milk temperature, read "
        "again in 15 min. If the acid still does not come, do not eat it, do not age "
        "it, do not give it away; throw it out untasted and scald the tools. Nothing "
        "here says a cheese is safe: local codes and a licensed maker decide."
    ),
    "curves.target-missed": _target_missed,
    "curves.targets-missed": "Acid target missed: {targets:semicolons}.",
}

# The first four, and the limits above, are kept in journal files by their ids and values: a
# released one is never renamed, and never asks for a value more.
_VERDICT: Messages = {
    "curves.not-to-eat": (
        "Do not eat this cheese, do not age it: throw it out untasted. {why}; toxin that lasts may "
        "be in it."
    ),
    "curves.why-stalled": ("By {read} its culture was slow or had stalled ({chance:in-hundred})"),
    "curves.why-too-slow": "By {read} the acid was too slow: {limit}",
    "curves.read-at": _read_at,
    "curves.verdict-since": "{verdict} {since}",
    "curves.readings-struck": ("Readings up to then that were struck out: {readings:semicolons}."),
    "curves.reading-gone": _reading_gone,
}

_SNAPSHOT: Messages = {
    "curves.gate-passed": (
        "{label:first}: pH {ph:.2f}, below its acid target of {low:.2f} to {high:.2f}."
    ),
}

MESSAGES: Messages = {
    **_SNAPSHOT,
    **FAULTS,
    **_REFUSALS,
    **_COMPANY,
    **_EVENTS,
    **_ACID,
    **_VERDICT,
}
