"""What a topic is made of: keys, answers, the tables it needs, the function that works it out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from journal.message import Message
from journal.topics.answer import SumAnswer
from journal.topics.asked import Inputs
from journal.wording import text_of, worded

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
    words_id: str
    quantities: tuple[str, ...] = ("number",)
    kind: str = VALUE
    default_unit: str | None = None
    choices: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    example: str = ""

    @property
    def words(self) -> str:
        """What it is, for a person."""
        return worded(self.words_id)


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
    summary_id: str
    keys: tuple[Input, ...]
    answers: tuple[str, ...]
    work_out: Callable[[Inputs], SumAnswer]
    tables: tuple[str, ...] = ()
    lead: str = ""
    stage_id: str = ""
    drawn: DrawnCurve | None = None
    picture: Callable[[Inputs], SumPicture | None] | None = None

    @property
    def summary(self) -> str:
        """What it is for."""
        return worded(self.summary_id)

    @property
    def stage(self) -> str:
        """The part of the work it is for."""
        return worded(self.stage_id)


def percent(name: str, words_id: str) -> Input:
    """A key in per cent."""
    return Input(name, words_id, ("percent",))


def length(name: str, words_id: str) -> Input:
    """A key in millimetres."""
    return Input(name, words_id, ("length",))


def mass(name: str, words_id: str) -> Input:
    """A key in kilograms."""
    return Input(name, words_id, ("mass",))


def salt(name: str, words_id: str) -> Input:
    """A key of salt: in kilograms, or by the spoon."""
    return Input(name, words_id, ("mass", "volume"))


def temperature(name: str, words_id: str) -> Input:
    """A key in °C."""
    return Input(name, words_id, ("temperature",))


MILK = Input("milk", "topics.input-milk", ("volume", "mass"))
DENSITY = Input("density", "topics.input-milk-density", ("density",))
YES_NO = ("yes", "no")


def answer(
    asked: Inputs,
    values: dict[str, object],
    formula: str,
    source: str | Message,
    *,
    cautions: tuple[str | Message, ...] = (),
    kitchen_ml: float | None = None,
) -> SumAnswer:
    """The answer with what was assumed and warned of on the way. A text that is no id, as the
    sources of a table are, stands as it is."""
    how, where, *minded = (
        text_of(one if isinstance(one, Message) else Message(one))
        for one in (formula, source, *cautions)
    )
    warned = tuple(asked.warnings)
    return SumAnswer(values, how, where, tuple(asked.assumed), warned, tuple(minded), kitchen_ml)
