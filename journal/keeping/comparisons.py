"""How makes are compared: one row a make, and what a change of it is called."""

from __future__ import annotations

from journal.keeping.keepers import Keeper
from journal.records.comparisons import Comparison

_ACTS = {
    "moment": "keeping.act-compare-moment",
    "order": "keeping.act-compare-order",
    "time": "keeping.act-compare-time",
}


class ComparisonKeeper(Keeper[Comparison]):
    """Keeps them."""

    def of(self, make_id: int) -> Comparison | None:
        """How a make was last compared; None where nobody chose."""
        return next(iter(self.where(make_id=make_id)), None)

    def choose(self, record: Comparison, part: str) -> None:
        """Keep it; `part` is what was changed."""
        with self._changes.unit(_ACTS.get(part, "keeping.act-compare")):
            self.save(record)
