"""Import and export: loggers' files, tables of past makes, sensors, plans, the whole journal."""

NO_FILE = "There is no file {file}. Check the name."


class ExchangeError(ValueError):
    """A file that cannot be read or written, with a sentence that says what to do.

    `asks` names what a person has to choose first, so that window and command line
    can each add how: "date order", "date", "scale", "unit", "columns", "air" or "".
    """

    def __init__(self, sentence: str, asks: str = "") -> None:
        super().__init__(sentence)
        self.asks = asks
