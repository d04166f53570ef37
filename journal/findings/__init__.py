"""Make variables against scores: what goes with a better wheel, and how sure that is.

Here: reading the variables out of whole makes, wheel scores from several assessors,
single-variable and joint statistics, evidence words. What it says must be true with eight
makes as with eighty; the method is written in DEVELOPERS.md. Not here: reading the journal
file (whole makes are handed in), the view (desk).
"""


class FindingError(ValueError):
    """A question the data cannot answer, with a sentence that says why."""
