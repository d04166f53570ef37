"""What a column of past makes means in this journal: its own variables, by words and unit.

"Cook temp C", "Salz %" and "milk (gal)" are cook temperature, salt in the curd and milk. Words of
neighbouring languages count (from memory; a column that is not known stays a variable of its own
name). A person can choose otherwise, and the choice is kept with the journal.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.exchange.loggers.headers import words_of
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.table import Variable
from journal.quantities import QuantityError
from journal.quantities.conversion import convert
from journal.quantities.typed import parse
from journal.quantities.units import stored_unit, unit_named
from journal.records.instants import DAY_MS, MINUTE_MS

# One word for those that say the same.
_SAME = {
    "salt": ("salz", "sel", "sale", "sal", "zout", "salted", "salting"),
    "milk": ("milch", "lait", "leche", "latte", "melk", "milchmenge"),
    "temp": ("temperature", "temperatur", "température", "temperatura", "temperatuur", "tempc",
             "tempf", "°c", "°f"),
    "cook": ("scald", "cooking", "scalding", "cooked", "brennen", "nachwärmen", "cuisson",
             "cottura", "brenntemp", "brenntemperatur"),
    "fat": ("fett", "fettgehalt", "butterfat", "grasso", "grasa", "vet"),
    "protein": ("eiweiß", "eiweiss", "protéine", "proteine", "proteina", "eiwit"),
    "rennet": ("lab", "présure", "presure", "caglio", "cuajo", "stremsel", "coagulant"),
    "culture": ("starter", "kultur", "kulturen", "säurewecker", "ferment", "ferments", "fermenti",
                "fermento", "zuursel", "cultures"),
    "ripening": ("ripened", "ripen", "reifung", "vorreifung", "reifen", "maturation"),
    "press": ("pressing", "pressed", "presse", "pressen", "presszeit", "pressure", "druck"),
    "brine": ("brining", "salzlake", "lake", "salzbad", "saumure", "salamoia", "salmuera", "pekel"),
    "cut": ("cutting", "schnitt", "schneiden", "décaillage"),
    "curd": ("bruch", "bruchkorn", "caillé", "cagliata", "cuajada", "wrongel"),
    "size": ("größe", "groesse", "korngröße", "taille"),
    "stir": ("stirring", "stirred", "rühren", "rührzeit", "brassage"),
    "drain": ("draining", "whey off", "abfüllen", "abtropfen", "égouttage"),
    "mill": ("milling", "milled"),
    "set": ("setting", "coagulation", "gerinnung", "dicklegung", "emprésurage"),
    "heal": ("healing",),
    "cheddar": ("cheddaring",),
    "water": ("wasser", "eau", "acqua", "agua"),
    "added": ("zugabe", "ajoutée", "washed", "wash"),
    "whey": ("molke", "petit-lait", "siero", "suero", "wei"),
    "drawn": ("removed", "off", "out", "abgezogen"),
    "age": ("alter", "âge", "days", "old"),
    "dose": ("dosage", "dosis"),
    "rate": ("speed",),
}  # fmt: skip
_PLAIN = {word: own for own, words in _SAME.items() for word in (own, *words)}
_HERE = {one.variable.key: one.variable for one in MAKE_VARIABLES}
# What a column must say, in which quantities it can be, and what its numbers can be (in the
# quantity's kept unit) where no unit is written. The first that fits is meant.
_RULES: tuple[tuple[frozenset[str], str, str, tuple[float, float] | None], ...] = (
    (frozenset(("cook", "rate")), "cook_rate", "temperature_rate", (0.05, 3.0)),
    (frozenset(("cook",)), "cook_temperature", "temperature", (25.0, 65.0)),
    (frozenset(("milk", "fat")), "milk_fat", "percent", (0.0, 15.0)),
    (frozenset(("milk", "protein")), "milk_protein", "percent", (0.0, 12.0)),
    (frozenset(("milk", "ph")), "milk_ph_as_it_came", "ph", (5.5, 7.5)),
    (frozenset(("milk", "age")), "age_of_the_milk", "duration", None),
    (frozenset(("culture", "dose")), "culture_dose", "mass_per_volume", None),
    (frozenset(("culture",)), "culture_dose", "mass_per_volume", None),
    (frozenset(("culture",)), "culture_dose_in_ml", "volume_per_volume", None),
    (frozenset(("rennet",)), "rennet_dose", "volume_per_volume", None),
    (frozenset(("rennet",)), "rennet_dose_in_g", "mass_per_volume", None),
    (frozenset(("ripening",)), "milk_ripened", "duration", None),
    (frozenset(("ph", "drain")), "ph_at_drain", "ph", (4.0, 7.0)),
    (frozenset(("ph", "mill")), "ph_at_milling", "ph", (4.0, 7.0)),
    (frozenset(("curd", "size")), "curd_size", "length", (2.0, 60.0)),
    (frozenset(("cut",)), "curd_size", "length", None),
    (frozenset(("heal",)), "heal", "duration", None),
    (frozenset(("stir",)), "stirring", "duration", None),
    (frozenset(("whey", "drawn")), "whey_drawn", "percent", None),
    (frozenset(("water", "added")), "water_added", "percent", None),
    (frozenset(("cheddar",)), "cheddaring", "duration", None),
    (frozenset(("brine",)), "time_in_brine", "duration", None),
    (frozenset(("press",)), "time_in_the_press", "duration", None),
    (frozenset(("press",)), "press_pressure", "pressure", None),
    (frozenset(("press",)), "press_load", "mass", None),
    (frozenset(("set",)), "set", "duration", None),
    (frozenset(("salt",)), "salt_in_curd", "percent", None),
)
# What went in whole, by weight or by volume, spoons among them.
_USES = ("culture", "rennet", "salt")
_USE_QUANTITIES = {"g": "mass_g", "ml": "volume_ml"}
_LONGEST_RIPENING_MIN = 24 * 60.0
# What words of a make the journal has a place for.
_WORDS = {
    "animal": ("animal", "milk animal", "tier", "milchart", "species"),
    "treatment": ("treatment", "milk treatment", "heat treatment", "behandlung"),
    "milk source": ("milk source", "milk from", "farm", "dairy", "hof", "milch von"),
    "culture lot": ("culture lot", "starter lot", "lot of culture"),
    "rind": ("rind", "rinde", "croûte"),
}
_MOSTLY = 0.8


@dataclass(frozen=True)
class Meaning:
    """What a column means here: a make variable (`key`), or what went in (`use` is its kind).

    `name` and `unit` are as they are saved, `written` is the unit of numbers without one.
    """

    name: str
    unit: str
    quantity: str
    written: str
    key: str = ""
    use: str = ""

    def amounts(self, cells: Sequence[str]) -> list[float] | None:
        """The cells in the unit they are saved in, NaN where there is none; None where they are
        mostly something else."""
        found = [self._amount(cell.strip()) for cell in cells]
        filled = sum(bool(cell.strip()) for cell in cells)
        good = int(np.isfinite(found).sum())
        return found if good and good >= _MOSTLY * filled else None

    def _amount(self, cell: str) -> float:
        try:
            value = parse(cell, self.quantity, default_unit=self.written).stored
        except QuantityError:
            return float("nan")
        return value * MINUTE_MS / DAY_MS if self.unit == "days" else value


def variable_named(name: str) -> Variable | None:
    """The journal's own variable that is called so, by its name or key."""
    plain = re.sub(r"\W+", "_", name.strip().lower()).strip("_")
    return _HERE.get(plain)


def meaning_as(variable: Variable, header: str, unit: str) -> Meaning | None:
    """A column that a person said is that variable; None where its unit is another quantity's."""
    for _, key, quantity, _ in _RULES:
        if key == variable.key:
            written = _unit(quantity, header, unit) or stored_unit(quantity).key
            if unit and _unit(quantity, "", unit) is None:
                continue
            return Meaning(variable.name, variable.unit, quantity, written, key)
    return None


def meaning_of(header: str, unit: str, values: Sequence[float]) -> Meaning | None:
    """What a column of numbers means here, by the words of its header, its unit and its numbers."""
    words = _parts_of(header)
    for needed, key, quantity, bounds in _RULES:
        if not needed <= words:
            continue
        written = _unit(quantity, header, unit)
        if written is None:
            if unit or bounds is None:
                continue
            written = _by_numbers(quantity, bounds, values)
        if written is None or (key == "milk_ripened" and _too_long(values, written)):
            continue
        return Meaning(_HERE[key].name, _HERE[key].unit, quantity, written, key)
    return _use(words, header, unit)


def word_meaning(header: str) -> str:
    """What a column of words means here, "" where it is nothing the journal has a place for."""
    plain = " ".join(header.lower().replace("_", " ").split())
    return next((name for name, alike in _WORDS.items() if plain in alike), "")


def is_about(word: str, header: str) -> bool:
    """Whether a header says that word, in whatever language: "milk" of "Milch (l)"."""
    return word in _parts_of(header)


def _use(words: set[str], header: str, unit: str) -> Meaning | None:
    """What went in whole, where a unit of weight or volume says so."""
    kind = next((kind for kind in _USES if kind in words), "")
    if not kind or "dose" in words:
        return None
    for kept, quantity in _USE_QUANTITIES.items():
        written = _unit(quantity, header, unit)
        if written is not None:
            return Meaning(kind, kept, quantity, written, use=kind)
    return None


def _parts_of(header: str) -> set[str]:
    joined = header.lower().replace("whey off", "drain")
    own = {*words_of(header), *words_of(joined)}
    return {_PLAIN.get(word.strip(".%"), word) for word in own}


def _unit(quantity: str, header: str, unit: str) -> str | None:
    """The key of the unit that stands behind the numbers, in brackets or among the words."""
    tries = [unit] if unit else re.split(r"[\s,;()\[\]_]+", header)[1:]
    for text in tries:
        try:
            return unit_named(quantity, text).key if text else None
        except QuantityError:
            continue
    return None


def _by_numbers(quantity: str, bounds: tuple[float, float], values: Sequence[float]) -> str | None:
    """The unit in which the middle number can be meant, where only one can."""
    known = np.array([v for v in values if np.isfinite(v)])
    if not known.size:
        return None
    middle, kept = float(np.median(known)), stored_unit(quantity).key
    if bounds[0] <= middle <= bounds[1]:
        return kept
    if quantity == "temperature":
        celsius = float(convert(np.array([middle]), "degF", kept)[0])
        return "degF" if bounds[0] <= celsius <= bounds[1] else None
    return None


def _too_long(values: Sequence[float], written: str) -> bool:
    """Whether these are weeks of a wheel and not the minutes of ripening milk."""
    known = np.array([v for v in values if np.isfinite(v)])
    kept = stored_unit("duration").key
    return bool(known.size) and float(np.median(convert(known, written, kept))) > (
        _LONGEST_RIPENING_MIN
    )
