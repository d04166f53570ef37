"""The Hollow Lane kitchen: a seeded simulator of a small invented place, its truths known.

Here: the vessel that warms the milk, the culture that sours it, the hand at the vat, the wheels,
rooms and assessors as models, and the twenty months they make. What the scores really follow
stands in `truth`: the tests use it, the window never shows it. Not here: anything a real journal
needs.
"""

from journal.sample.kitchen import write_sample

__all__ = ["write_sample"]
