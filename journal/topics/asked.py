"""The input of a sum: the values given, by key, and what had to be assumed on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Floats
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.salt import SALT_G_PER_ML
from journal.topics import TopicError
from journal.wording import text_of, worded

Grid = Mapping[str, Sequence[str]]


@dataclass(frozen=True)
class InputValue:
    """One value given: a number in the kept unit of `quantity`, several, or a word.

    `tag` is the mark that was typed behind a bare number ("s/m", "mv"), if any.
    """

    kept: float | tuple[float, ...] | str
    quantity: str = "number"
    tag: str = ""


class Inputs:
    """The values of one question, and the remarks about the answer as it is calculated."""

    def __init__(
        self, topic: str, given: Mapping[str, InputValue], tables: Mapping[str, Grid] | None = None
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
            raise TopicError("topics.one-number", name=name)
        return found.kept

    def need(self, name: str, why: str | None = None) -> float:
        """The number given under that key, refused without one."""
        found = self.number(name)
        if found is None:
            which = "topics.needs" if why is None else "topics.needs-so"
            raise TopicError(which, topic=self.topic, name=name, why=why and Message(why))
        return found

    def or_assume(self, name: str, default: float, which: str | Message, /, **values: Any) -> float:
        """The number given, else `default`, and that it was assumed."""
        found = self.number(name)
        if found is None:
            self.assume(which, **values)
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
            raise TopicError("topics.needs", topic=self.topic, name=name)
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
        self.assume("topics.fine-salt-weighs", g_per_ml=SALT_G_PER_ML)
        return amount * SALT_G_PER_ML

    def _some(self, name: str) -> float:
        amount = self.need(name)
        if amount <= 0:
            raise TopicError("topics.above-zero", name=name)
        return amount

    def _milk_density(self) -> float:
        given = self.number("density")
        if given is None:
            self.assume("topics.milk-at-density", kg_per_l=MILK_KG_PER_L)
            return MILK_KG_PER_L
        if not 0.8 < given < 1.2:
            raise TopicError("topics.density-range")
        return given

    def assume(self, which: str | Message, /, **values: Any) -> None:
        """Note what was assumed, once."""
        text = text_of(which) if isinstance(which, Message) else worded(which, **values)
        if text not in self.assumed:
            self.assumed.append(text)

    def warn(self, text: Iterable[Message]) -> None:
        """Note where an input lies outside what was published."""
        self.warnings.extend(text_of(one) for one in text)

    def warn_that(self, which: str, /, **values: Any) -> None:
        """Note what is doubtful about the question itself."""
        self.warnings.append(worded(which, **values))

    def column(self, table: str, name: str) -> Floats:
        """A column of numbers of a published table; refused when the table was not passed in."""
        return np.asarray([float(cell) for cell in self.cells(table, name)])

    def cells(self, table: str, name: str) -> Sequence[str]:
        """A column of a published table as text."""
        if table not in self.tables:
            raise TopicError("topics.needs-the-table", topic=self.topic, table=table)
        return self.tables[table][name]
