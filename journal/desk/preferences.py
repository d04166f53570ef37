"""What a person can choose, declared once: the page of settings is built from it, and so is what
the window and the commands go by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QSettings

from journal.records.dates import WEEKDAYS
from journal.wording.style import Style, style_of

GROUP = "preferences"  # of the settings file; the commands read it too (exchange/chosen.py)
YES_NO = (("yes", "Yes"), ("no", "No"))
SIZES = (100, 110, 125, 150, 175, 200)  # of the text, percent of the usual


@dataclass(frozen=True)
class Preference:
    """One choice: its key in the settings file, its title, the heading it stands under and what
    can be chosen, the first as it comes; `note` is said below it."""

    key: str
    title: str
    group: str
    options: Sequence[tuple[str, str]]
    note: str = ""

    def chosen(self, saved: QSettings) -> str:
        """The choice made, the first where none was or it is none."""
        value = str(saved.value(f"{GROUP}/{self.key}", self.options[0][0]))
        return value if value in dict(self.options) else self.options[0][0]


PREFERENCES = (
    Preference("temperature", "Temperature", "Units", (("C", "°C"), ("F", "°F")),
               "What is stored stays in °C; published limits are quoted as their source has them."),
    Preference("mass", "Weight", "Units", (("kg", "g and kg"), ("lb", "oz and lb"))),
    Preference("volume", "Volume", "Units", (("L", "L"), ("gal", "US gal"))),
    Preference("length", "Length", "Units", (("mm", "mm"), ("in", "in"))),
    Preference("spoons", "Doses in spoons too", "Units", YES_NO),
    Preference("clock", "Time of day", "Time", (("24", "24 hours"), ("12", "12 hours, am and pm"))),
    Preference("first_day", "The week begins on", "Time",
               tuple((str(day), WEEKDAYS[day]) for day in (0, 6, 5))),
    Preference("text", "Text size", "Look", tuple((str(size), f"{size} %") for size in SIZES),
               "Ctrl + and Ctrl − change it, Ctrl 0 brings it back."),
    Preference("look", "Colours", "Look",
               (("system", "As the system has them"), ("light", "Light"), ("dark", "Dark"),
                ("contrast-light", "High contrast, black on white"),
                ("contrast-dark", "High contrast, white on black")),
               "Where the system asks for high contrast it holds in light and dark too."),
    Preference("sound", "Sound of an alarm", "Alarm",
               (("bell", "Bell"), ("kitchen", "Kitchen timer"), ("soft", "Soft tone"),
                ("none", "No sound"))),
    Preference("loudness", "Volume of the sound", "Alarm",
               (("100", "Full"), ("70", "Three quarters"), ("40", "Half"), ("20", "Quiet"))),
    Preference("minding", "With the window closed", "Alarm",
               (("ask", "Ask once"), ("yes", "A small process keeps the alarms"),
                ("no", "No alarms")),
               "It ends with the make, and uses no network."),
    Preference("paper", "Paper", "Printing",
               (("", "As usual here"), ("A4", "A4"), ("Letter", "Letter"))),
    Preference("single_keys", "Keys of a single letter", "Keys",
               (("on", "On"), ("off", "Off: menus and Ctrl only"))),
    Preference("confirm", "Ask before a make is deleted", "Keys",
               (("no", "No, undo brings it back"), ("yes", "Yes"))),
)  # fmt: skip


def preference(key: str) -> Preference:
    """The preference of that key."""
    return next(one for one in PREFERENCES if one.key == key)


def chosen(saved: QSettings, key: str) -> str:
    """What was chosen of it."""
    return preference(key).chosen(saved)


def choose(saved: QSettings, key: str, value: str) -> None:
    """Remember a choice."""
    saved.setValue(f"{GROUP}/{key}", value)


def style_chosen(saved: QSettings) -> Style:
    """The style that was chosen."""
    return style_of({one.key: one.chosen(saved) for one in PREFERENCES})
