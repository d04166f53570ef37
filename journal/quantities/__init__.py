"""Numbers and units as people type and read them.

Here: the parser for typed values ("1/2 tsp", "31,4", "88 F", "2 h 30 min"), the closed list of
units a quantity knows, conversion, and how a value is written for a person. This is the only
room that knows pint, and pint never sees typed text: it converts a float from one named unit
to another. Not here: what a value means (records), any sum of the trade (reckoning).
"""


class QuantityError(ValueError):
    """A typed value that cannot be understood, with a sentence that says what would do."""
