"""Numbers and units as people type and read them."""

from typing import Any

from journal.message import Message, MessageError


class QuantityError(MessageError):
    """A typed value that cannot be understood."""


class AmbiguousNumber(QuantityError):
    """A number with one comma before three digits, "1,234": 1.234 to some and 1234 to others."""

    def __init__(
        self, message: str | Message = "quantities.two-readings", /, **values: Any
    ) -> None:
        super().__init__(message, **values)

    @property
    def decimal(self) -> float:
        """The first reading, for a caller that knows that the other cannot be."""
        return float(self.values["decimal"])

    @property
    def rest(self) -> str:
        """What follows the number."""
        return str(self.values["rest"])
