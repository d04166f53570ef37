"""The plan of a make of a series as a change for Plans to open; and how the make is called."""

from __future__ import annotations

from journal.desk.place import PlanChange
from journal.keeping import Journal
from journal.keeping.series import SeriesMakeState, SeriesWithMakes
from journal.wording import worded

SERIES_KEY = "series:"  # a draft of a make of a series is kept under this and the make's UUID


def series_change(journal: Journal, whole: SeriesWithMakes, made: SeriesMakeState) -> PlanChange:
    """The plan of one make of a series, as a change of the plan the series began from.

    Raises
    ------
    KeepingError
        When a plan of the series is not in the journal.
    """
    from journal.findings.series_plans import first_stage  # numpy: when asked
    from journal.wording.series import change_words, make_words

    plan = journal.designs.plan_of(made.one)
    base = journal.plans.get(whole.series.plan_id or 0)
    words = change_words(whole.series.variables, made.one.wanted)
    called = make_words(whole, made)
    return PlanChange(
        None,
        plan,
        first_stage(base, plan),
        worded("desk.make-of-series", make=called, words=words),
        base=base,
        key=f"{SERIES_KEY}{made.one.uuid}",
        called=called,
    )
