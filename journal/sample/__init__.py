"""The Hollow Lane kitchen: a seeded simulator of a small invented place, its truths known."""

from journal.sample.kitchen import write_sample

__all__ = ["write_sample"]
