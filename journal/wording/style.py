"""What all writing depends on, beside the thing itself and the zone it is read in: set in one
place, and read by the few functions that write the smallest things. Times of day read it now; units
and language have no choice yet."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass(frozen=True)
class Style:
    """How a person reads: `clock` is "24" or "12", `units` "metric" and `language` "en" until
    there is a choice."""

    units: str = "metric"
    clock: str = "24"
    language: str = "en"


class _InUse:
    style = Style()


def style_in_use() -> Style:
    """The style everything is written in at this moment."""
    return _InUse.style


def use_style(style: Style) -> None:
    """Write everything in this style from now on, in every thread."""
    _InUse.style = style


@contextmanager
def written_in(style: Style) -> Iterator[None]:
    """Write in this style within a `with`."""
    before = style_in_use()
    use_style(style)
    try:
        yield
    finally:
        use_style(before)
