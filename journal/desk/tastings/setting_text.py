"""A text among the journal's settings, written where it changed."""

from __future__ import annotations

from journal.keeping import Journal, KeepingError
from journal.wording import text_of


class SettingText:
    """The text that stands under a key, "" for none."""

    def __init__(self, journal: Journal, key: str) -> None:
        self._journal, self._key = journal, key
        self.text = journal.setting(key) or ""

    def write(self, text: str) -> str:
        """Write it down, where it differs from what stands there; what was refused is said, to be
        written the next time."""
        if text != self.text:
            try:
                self._journal.set_setting(self._key, text)
            except KeepingError as error:
                return text_of(error)
            self.text = text
        return ""
