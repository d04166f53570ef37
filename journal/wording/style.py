"""What all writing depends on, beside the thing itself and the zone it is read in: chosen once for
all, or for one text or page, and read by the few functions that write the smallest things."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, fields, replace


@dataclass(frozen=True)
class Style:
    """How a person reads: `clock` is "24" or "12"; temperatures in "C" or "F", weights in "kg"
    or "lb", volumes in "L" or "gal", lengths in "mm" or "in"; doses in `spoons` too or not; the
    day a week begins with, counted from the first of the names of days; the `paper`, "" for what
    is usual here; `language` is "en" or the name of a file of sentences (`languages.py`)."""

    clock: str = "24"
    temperature: str = "C"
    mass: str = "kg"
    volume: str = "L"
    length: str = "mm"
    spoons: str = "yes"
    first_day: str = "0"
    paper: str = ""
    language: str = "en"


class _Chosen:
    style = Style()


_HERE: ContextVar[Style | None] = ContextVar("style", default=None)


def style_in_use() -> Style:
    """The style that is written in here, at this moment."""
    return _HERE.get() or _Chosen.style


def use_style(style: Style) -> None:
    """Write in this style from now on, in every thread, where no other is asked for."""
    _Chosen.style = style


def style_of(chosen: Mapping[str, str]) -> Style:
    """The style with these choices; what is no choice of a style is passed over."""
    known = {field.name for field in fields(Style)}
    return replace(Style(), **{key: value for key, value in chosen.items() if key in known})


@contextmanager
def written_in(style: Style) -> Iterator[None]:
    """Write in this style within a `with`; what other threads write meanwhile stays as it is."""
    before = _HERE.set(style)
    try:
        yield
    finally:
        _HERE.reset(before)
