"""Which imported readings are marked as doubtful, and the sentences about them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from journal.curves.trend import doubtful_among
from journal.exchange.loggers.take import LoggerReadings, LoggerTrace
from journal.keeping import Journal
from journal.records import id_of
from journal.records.kinds import READING_KINDS
from journal.records.makes import Make
from journal.records.traces import DOUBTFUL, Flags
from journal.wording import worded
from journal.wording.readings import doubtful_lines

# Two values of one instant that lie no further apart are both right: a logger that writes whole
# minutes and reads more often. By quantity: °C, pH, % lactic acid (common practice, no source).
APART = {"temperature": 0.5, "ph": 0.05, "acidity": 0.01}


@dataclass(frozen=True)
class Doubts:
    """The doubtful readings of each kind as a mask, (n,) beside its series, and sentences."""

    masks: Mapping[str, NDArray[np.bool_]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many there are."""
        return sum(int(mask.sum()) for mask in self.masks.values())

    def flags(self, kind: str) -> Flags:
        """The marks to save with the readings of a kind, (n,)."""
        return np.where(self.masks[kind], DOUBTFUL, 0).astype(np.uint8)


def doubts_of(journal: Journal, make: Make, taken: LoggerReadings, source: str) -> Doubts:
    """What is doubtful among readings that are about to be saved, beside those that are there."""
    whole = journal.whole(id_of(make))
    notes = [worded("exchange.guess-is-doubtful", why=why) for why in taken.unsure.words]
    masks = {}
    found: list[tuple[int, str, float]] = []
    for kind, part in taken.series.items():
        read = journal.readings.checks.values(kind, source, part.at_ms, part.value)
        known = whole.trace(kind).sound()
        there = LoggerTrace(known.at_ms, known.value, np.zeros(len(known.at_ms), np.bool_))
        at_odds = _at_odds(there, replace(part, value=read), kind)
        if at_odds.any():
            instants = len(np.unique(part.at_ms[at_odds]))
            notes.append(worded("exchange.values-differ", instants=instants, kind=kind))
        mask = at_odds | doubtful_among(whole, kind, part.at_ms, read)
        masks[kind] = mask | part.guessed
        found += [(int(part.at_ms[i]), kind, float(read[i])) for i in np.flatnonzero(mask)]
    return Doubts(masks, (*notes, *doubtful_lines(sorted(found), make.zone)))


def _at_odds(known: LoggerTrace, new: LoggerTrace, kind: str) -> NDArray[np.bool_]:
    """Which new readings, (n,), differ from another one of the same instant."""
    at_ms = np.concatenate([known.at_ms, new.at_ms])
    order = np.argsort(at_ms, kind="stable")
    value = np.concatenate([known.value, new.value])[order]
    both = LoggerTrace(at_ms[order], value, np.zeros(len(order), np.bool_))
    found = np.zeros(len(order), np.bool_)
    found[order] = both.at_odds(APART.get(READING_KINDS[kind].quantity, 0.0))
    return found[len(known) :]
