"""The sentences of `curves` that no template can write: a reading has the digits of its kind."""

from __future__ import annotations

from journal.records.instants import local
from journal.records.kinds import READING_KINDS
from journal.wording.dates import format_day
from journal.wording.sentences import Messages, Values, worded


def _read(values: Values) -> str:
    """ "curd pH 6.58"."""
    kind = READING_KINDS[values["kind"]]
    unit = "" if kind.quantity == "ph" else f" {kind.unit}"
    return f"{kind.label} {values['value']:.{kind.digits}f}{unit}"


def _day(values: Values) -> str:
    return format_day(local(values["at"].at_ms, values["at"].zone), year=False)


def _read_at(values: Values) -> str:
    """The time of day, with its day where that is another than the make's."""
    which = "wording.reading-at-on" if values["other_day"] else "wording.reading-at"
    return worded(which, reading=_read(values), at=values["at"], day=_day(values))


def _reading_gone(values: Values) -> str:
    which = "wording.reading-gone-on" if values["other_day"] else "wording.reading-gone"
    return worded(which, at=values["at"], day=_day(values))


def _target_missed(values: Values) -> str:
    """ "drain: curd pH 6.45 at 11:40, not 6.10 to 6.20"."""
    digits = READING_KINDS[values["kind"]].digits
    low, high = (f"{values[end]:.{digits}f}" for end in ("low", "high"))
    return worded(
        "wording.target-missed",
        stage=values["stage"],
        reading=_read(values),
        at=values["at"],
        low=low,
        high=high,
    )


MESSAGES: Messages = {
    "curves.read-at": _read_at,
    "curves.reading-gone": _reading_gone,
    "curves.target-missed": _target_missed,
}
