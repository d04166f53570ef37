"""What a person can choose, declared once: the page of settings is built from it, and so is what
the window and the commands go by."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QSettings

from journal.records.dates import WEEKDAYS
from journal.wording.keys import GROUP as KEYS
from journal.wording.keys import is_key_use
from journal.wording.languages import languages, translated
from journal.wording.style import Style, style_of

GROUP = "preferences"  # of the settings file; the commands read it too (exchange/chosen.py)
YES_NO = (("yes", "Yes"), ("no", "No"))
_ASK = (("no", "No, undo brings it back"), ("yes", "Yes"))
SIZES = (100, 110, 125, 150, 175, 200)  # of the text, percent of the usual


@dataclass(frozen=True)
class Preference:
    """One choice: its key in the settings file, its title, the heading it stands under and what
    can be chosen, the first as it comes, `more` what there is beside it at the moment; `note` is
    said below it."""

    key: str
    title: str
    group: str
    options: Sequence[tuple[str, str]]
    note: str = ""
    more: Callable[[], Sequence[tuple[str, str]]] | None = None

    def choices(self) -> tuple[tuple[str, str], ...]:
        """All that can be chosen now."""
        own = tuple((key, translated(words)) for key, words in self.options)
        return (*own, *(self.more() if self.more is not None else ()))

    def chosen(self, saved: QSettings) -> str:
        """The choice made, the first where none was or it is none."""
        value = str(saved.value(f"{GROUP}/{self.key}", self.options[0][0]))
        return value if value in dict(self.choices()) else self.options[0][0]


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
    Preference("language", "Language", "Language", languages()[:1],
               "Only English is included yet. Another language is a file of sentences; "
               "what it lacks is shown in English.", lambda: languages()[1:]),
    Preference("text", "Text size", "Look", tuple((str(size), f"{size} %") for size in SIZES),
               "{key:larger} and {key:smaller} change it, {key:usual_size} brings it back."),
    Preference("look", "Colours", "Look",
               (("system", "As in the system"), ("light", "Light"), ("dark", "Dark"),
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
    Preference("single_keys", "Keys of a single letter or figure", "Keys",
               (("on", "On"), ("off", "Off: menus and Ctrl only"))),
    Preference("confirm", "Delete a make or a series", "Ask first", _ASK,
               "What is deleted lies in the bin; only what is deleted there for good is gone."),
    Preference("ask_discard", "Discard a draft of a plan", "Ask first", _ASK),
    Preference("ask_stage", "Finish or skip a stage", "Ask first", _ASK),
    Preference("ask_finish", "Finish a make", "Ask first", _ASK),
    Preference("ask_back", "Take back an older change", "Ask first", _ASK),
    Preference("ask_sensor", "Delete a sensor", "Ask first", YES_NO),
    Preference("ask_bin", "Delete for good what is in the bin", "Ask first", YES_NO),
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


def changed_keys(saved: QSettings) -> dict[str, str]:
    """The keys that were changed, by the names of their uses."""
    saved.beginGroup(KEYS)
    found = {name: str(saved.value(name, "")) for name in saved.childKeys() if is_key_use(name)}
    saved.endGroup()
    return found


def choose_keys(saved: QSettings, changed: Mapping[str, str]) -> None:
    """Remember the keys that were changed, and no others."""
    saved.remove(KEYS)
    for name, key in changed.items():
        saved.setValue(f"{KEYS}/{name}", key)


def style_chosen(saved: QSettings) -> Style:
    """The style that was chosen."""
    return style_of({one.key: one.chosen(saved) for one in PREFERENCES})
