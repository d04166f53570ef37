"""The nouns of the journal: plan, stage, make, reading, wheel, tasting and what hangs on them.

Here: plain dataclasses that check themselves and refuse the impossible with a sentence, the
closed lists of kinds (stage, reading, care), instants and zones, and where the program's own
files lie. A record has `id` (the integer key of the file that holds it, None until kept) and
`uuid` (for merging journals). Units: °C, kg or g as the name says, L, mm, kPa, minutes, % w/w;
instants are UTC milliseconds. Not here: how a record is kept (keeping) or drawn (desk).
"""


class RecordError(ValueError):
    """An impossible record, with a sentence that says what was wrong and what would do."""
