"""The table of the siege: what was tried how often, and what was found."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field


@dataclass
class Tally:
    """What one part has tried, counted by name, and the faults it found."""

    part: str
    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    not_run: str = ""

    def line(self) -> str:
        """The part's line in the table."""
        counts = ", ".join(f"{number:,} {what}" for what, number in self.counts.items())
        end = f"not run: {self.not_run}" if self.not_run else f"{len(self.faults)} faults"
        return f"{self.part:<9} {counts}{': ' if counts else ''}{end}"
