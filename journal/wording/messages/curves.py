"""The sentences of `curves` that no template can write."""

from __future__ import annotations

from journal.records.instants import local
from journal.records.kinds import READING_KINDS
from journal.wording.dates import clock, format_day
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


MESSAGES: Messages = {
    "curves.basis": _basis,
    "curves.read-at": _read_at,
    "curves.reading-gone": _reading_gone,
    "curves.target-missed": _target_missed,
}
