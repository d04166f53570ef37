"""What a topic is made of: keys, answers, the tables it needs, the function that works it out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

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


class DrawnCurve(NamedTuple):
    """A curve: the answer `y` while the key `x` goes from `low` to `high`, in its kept unit; `log`
    where the answer goes over many times its size."""

    x: str
    y: str
    low: float
    high: float
    log: bool = False


@dataclass(frozen=True)
class SumLine:
    """A line of a picture: its points, and its name at their end; a band where there is `high`."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    name: str = ""
    high: tuple[float, ...] = ()


@dataclass(frozen=True)
class SumPicture:
    """What a topic draws: the titles of its axes, lines, marks with their words, and for several
    ranges under each other (`bars`: name, least, most, whether it stands out) where on x they
    lie. x is shown from `least_x` on where that is said. `says` is it in a sentence."""

    x_title: str
    y_title: str
    says: str
    lines: tuple[SumLine, ...] = ()
    marks: tuple[tuple[float, float, str], ...] = ()
    bars: tuple[tuple[str, float, float, bool], ...] = ()
    at: float | None = None
    least_x: float | None = None
    log: bool = False


@dataclass(frozen=True)
class Topic:
    """One sum: its name, what it is for, its keys, its answers, the published tables it needs.

    `lead` is the key that a word without a key belongs to, `stage` the part of the work it is
    for. `drawn` is the key along which an answer is drawn as a curve, with that answer and the
    least and most of the key, in its kept unit; `picture` draws what is no such curve.
    """

    name: str
    summary: str
    keys: tuple[Input, ...]
    answers: tuple[str, ...]
    work_out: Callable[[Inputs], SumAnswer]
    tables: tuple[str, ...] = ()
    lead: str = ""
    stage: str = ""
    drawn: DrawnCurve | None = None
    picture: Callable[[Inputs], SumPicture | None] | None = None


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
