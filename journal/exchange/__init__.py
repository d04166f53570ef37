"""Import and export: loggers' files, tables of past makes, sensors, plans, the whole journal."""

from typing import Any

from journal.message import Message, MessageError


class ExchangeError(MessageError):
    """A file that cannot be read or written, with a message that says what to do.

    `asks` names what a person has to choose first, so that window and command line
    can each add how: "date order", "date", "scale", "unit", "columns", "air" or "".
    """

    def __init__(self, message: str | Message, /, *, asks: str = "", **values: Any) -> None:
        super().__init__(message, **values)
        self.asks = asks
