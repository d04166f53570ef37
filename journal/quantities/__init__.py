"""Numbers and units as people type and read them.

Here: the parser for typed values ("1/2 tsp", "31,4", "88 F", "2 h 30 min"), the closed list of
units a quantity knows, conversion, and how a value is written for a person. This is the only
room that knows pint, and pint never sees typed text: it converts a float from one named unit
to another. Not here: what a value means (records), any sum of the trade (reckoning).
"""

from journal.message import MessageError


class QuantityError(MessageError):
    """A typed value that cannot be understood."""


class AmbiguousNumber(QuantityError):
    """A number with one comma before three digits, "1,234": 1.234 to some and 1234 to others.

    `decimal` is the first reading and `rest` what follows the number, for a caller that knows
    that the other reading cannot be.
    """

    def __init__(self, decimal: float, digits: str, rest: str) -> None:
        self.decimal = decimal
        self.rest = rest
        one, other = digits.replace(",", "."), digits.replace(",", "")
        unit = f" {rest}" if rest else ""
        super().__init__(
            f"“{digits}{unit}” can be read as {one} or as {other}; write {one}{unit} or "
            f"{other}{unit}."
        )
