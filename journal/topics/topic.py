"""What a topic is made of: keys, answers, the tables it needs, the function that works it out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs

VALUE, SEVERAL, SIZE, WORD, CURVE = "value", "several", "size", "word", "curve"


@dataclass(frozen=True)
class Input:
    """One key of a topic.

    `quantities` are tried in order, the first without a unit. `kind` is one value, several, a
    size ("165 mm" or "150 x 200 mm"), a word of `choices` (any word without them), or a file with
    a curve. `tags` are marks that may stand behind a bare number. `also` are other names for it.
    `example` is a value as one would type it; without one its quantities' own examples stand.
    """

    name: str
    words: str
    quantities: tuple[str, ...] = ("number",)
    kind: str = VALUE
    default_unit: str | None = None
    choices: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    example: str = ""


@dataclass(frozen=True)
class Topic:
    """One sum: its name, what it is for, its keys, its answers, the published tables it needs.

    `lead` is the key that a word without a key belongs to.
    """

    name: str
    summary: str
    keys: tuple[Input, ...]
    answers: tuple[str, ...]
    work_out: Callable[[Inputs], SumAnswer]
    tables: tuple[str, ...] = ()
    lead: str = ""


def percent(name: str, words: str) -> Input:
    """A key in per cent."""
    return Input(name, words, ("percent",))


def length(name: str, words: str) -> Input:
    """A key in millimetres."""
    return Input(name, words, ("length",))


def mass(name: str, words: str) -> Input:
    """A key in kilograms."""
    return Input(name, words, ("mass",))


def salt(name: str, words: str) -> Input:
    """A key of salt: in kilograms, or by the spoon."""
    return Input(name, f"{words}, by weight or by the spoon", ("mass", "volume"))


def temperature(name: str, words: str) -> Input:
    """A key in °C."""
    return Input(name, words, ("temperature",))


MILK = Input("milk", "the milk, by volume or by mass", ("volume", "mass"))
DENSITY = Input("density", "density of the milk, to turn litres into kilograms", ("density",))
YES_NO = ("yes", "no")


def answer(
    asked: Inputs,
    values: dict[str, object],
    formula: str,
    source: str,
    *,
    cautions: tuple[str, ...] = (),
    kitchen_ml: float | None = None,
) -> SumAnswer:
    """The answer with what was assumed and warned of on the way."""
    return SumAnswer(
        values, formula, source, tuple(asked.assumed), tuple(asked.warnings), cautions, kitchen_ml
    )
