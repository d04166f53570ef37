"""What comes in and goes out: loggers' files, tables of past makes, the export.

Here: reading other people's files, which are hostile until parsed, showing what was understood
before anything is kept, and writing the journal out in plain formats. Not here: the journal
file itself (keeping), dialogs (desk).
"""


class ExchangeError(ValueError):
    """A file that cannot be read or written, with a sentence that says what to do.

    `asks` names what a person has to say first, so that window and command line can each add how:
    "date order", "date", "scale", "unit", "columns", "air" or "".
    """

    def __init__(self, sentence: str, asks: str = "") -> None:
        super().__init__(sentence)
        self.asks = asks
