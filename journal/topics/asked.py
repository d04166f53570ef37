"""The input of a sum: the values given, by key, and what had to be assumed on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Floats
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.salt import SALT_G_PER_ML
from journal.topics import TopicError
from journal.wording import text_of

Table = Mapping[str, Sequence[str]]


@dataclass(frozen=True)
class InputValue:
    """One value given: a number in the kept unit of `quantity`, several, or a word.

    `tag` is the mark that was typed behind a bare number ("s/m", "mv"), if any.
    """

    kept: float | tuple[float, ...] | str
    quantity: str = "number"
    tag: str = ""


class Inputs:
    """The values of one question, and what is said about the answer as it is worked out."""

    def __init__(
        self, topic: str, given: Mapping[str, InputValue], tables: Mapping[str, Table] | None = None
    ) -> None:
        self.topic = topic
        self.given = dict(given)
        self.tables = dict(tables or {})
        self.assumed: list[str] = []
        self.warnings: list[str] = []

    def has(self, *names: str) -> bool:
        """Whether all of these were given."""
        return all(name in self.given for name in names)

    def number(self, name: str) -> float | None:
        """The number given under that key, None without one."""
        found = self.given.get(name)
        if found is None:
            return None
        if not isinstance(found.kept, float):
            raise TopicError(f"{name} must be one number.")
        return found.kept

    def need(self, name: str, why: str = "") -> float:
        """The number given under that key, refused without one."""
        found = self.number(name)
        if found is None:
            raise TopicError(f"“{self.topic}” needs {name}{f' {why}' if why else ''}.")
        return found

    def or_assume(self, name: str, default: float, words: str) -> float:
        """The number given, else `default` with `words` noted as assumed."""
        found = self.number(name)
        if found is None:
            self.assume(words)
            return default
        return found

    def word(self, name: str, default: str) -> str:
        """The word given, else the default."""
        found = self.given.get(name)
        return default if found is None else str(found.kept)

    def yes(self, name: str) -> bool:
        """Whether the word given is "yes"."""
        return self.word(name, "no") == "yes"

    def numbers(self, name: str) -> Floats:
        """The numbers given under that key, refused without them."""
        found = self.given.get(name)
        if found is None:
            raise TopicError(f"“{self.topic}” needs {name}.")
        return np.atleast_1d(np.asarray(found.kept, dtype=np.float64))

    def kg(self, name: str = "milk") -> float:
        """A mass given as such or as a volume of milk, kg; the density used is noted."""
        amount = self._some(name)
        if self.given[name].quantity != "volume":
            return amount
        return amount * self._milk_density()

    def litres(self, name: str = "milk") -> float:
        """A volume of milk given as such or as a mass, L; the density used is noted."""
        amount = self._some(name)
        if self.given[name].quantity == "volume":
            return amount
        return amount / self._milk_density()

    def salt_kg(self, name: str) -> float:
        """Salt given as a mass or by the spoon, kg; what a spoon is taken to weigh is noted."""
        amount = self.need(name)
        if self.given[name].quantity != "volume":
            return amount
        words = f"fine salt weighs {SALT_G_PER_ML:g} g/ml in a spoon (common practice)"
        if words not in self.assumed:
            self.assume(words)
        return amount * SALT_G_PER_ML

    def _some(self, name: str) -> float:
        amount = self.need(name)
        if amount <= 0:
            raise TopicError(f"{name} must be more than 0.")
        return amount

    def _milk_density(self) -> float:
        given = self.number("density")
        if given is None:
            words = f"milk at {MILK_KG_PER_L:.3f} kg/L (litres are not kilograms)"
            if words not in self.assumed:
                self.assume(words)
            return MILK_KG_PER_L
        if not 0.8 < given < 1.2:
            raise TopicError("The density of milk must lie between 0.8 and 1.2 kg/L.")
        return given

    def assume(self, words: str) -> None:
        """Note what was assumed."""
        self.assumed.append(words)

    def warn(self, text: Iterable[Message]) -> None:
        """Note where an input lies outside what was published."""
        self.warnings.extend(text_of(one) for one in text)

    def warn_that(self, sentence: str) -> None:
        """Note what is doubtful about the question itself."""
        self.warnings.append(sentence)

    def column(self, table: str, name: str) -> Floats:
        """A column of numbers of a published table; refused when the table was not passed in."""
        return np.asarray([float(cell) for cell in self.cells(table, name)])

    def cells(self, table: str, name: str) -> Sequence[str]:
        """A column of a published table as text."""
        if table not in self.tables:
            raise TopicError(f"“{self.topic}” needs the table “{table}”.")
        return self.tables[table][name]
