"""What it costs that each row's sum is tried as it is read, against reading the tables bare."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio, in_turn


def measure(journals: Journals, rounds: int) -> Iterator[Ratio]:
    """The lists and makes of a large journal, in turn through the sums and past them."""
    from journal.keeping import Journal

    makes = min(1_000, journals.large)
    with Journal.open(journals.of(makes), read_only=True) as journal:
        some = [row.id for row in journal.makes.rows()[:24]]
        for what, act in (
            ("the list of makes", journal.makes.rows),
            ("the wheels that are there, with what was done", journal.care_tasks.lives),
            ("24 makes whole", lambda: [journal.whole(key) for key in some]),
        ):
            yield in_turn(
                f"{what}, of {makes:,} makes, each sum tried",
                lambda act=act: _timed(act, past=False),  # type: ignore[misc]
                lambda act=act: _timed(act, past=True),  # type: ignore[misc]
                rounds,
                None,
            )


def _timed(act: Callable[[], object], *, past: bool) -> float:
    """Milliseconds of the process; `past` the sums, to the tables themselves."""
    from journal.keeping import sums

    kept = sums._reading_sums
    if past:
        sums._reading_sums = str  # type: ignore[assignment]
    try:
        begun = time.process_time_ns()
        act()
        return (time.process_time_ns() - begun) / 1e6
    finally:
        sums._reading_sums = kept
