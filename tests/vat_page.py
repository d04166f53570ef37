"""What the page of the vat says of a make at a moment, all of it as one text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from journal.background import State
from journal.curves.heating import Vessel
from journal.curves.shown_events import Acknowledged
from journal.curves.snapshot import Ahead, EarlierMakes, ahead_of, day_of
from journal.curves.vessel import Advice
from journal.records.whole import WholeMake
from journal.wording.at_the_vat import page_text
from journal.wording.vat_stage import advice_words


def page_of(whole: WholeMake, now_ms: int, vessels: Sequence[Vessel] = ()) -> str:
    """Its head, what stands beside it and its lines, one under the other."""
    day = day_of(whole, now_ms, EarlierMakes(vessels=tuple(vessels)), Ahead())
    day = replace(day, ahead=ahead_of(day, State(_unheard)))
    day = replace(day, acknowledged=Acknowledged().with_shown(day.ahead.events, now_ms))
    output = page_text(day)
    return "\n".join([output.head, output.rest, *(line.text for line in output.lines)])


def _unheard(_share: float, _words: str) -> None:
    pass


def advice_text(advice: Advice) -> str:
    """Where the milk is against its plan, and what to do."""
    return " ".join(words for words in advice_words(advice, 1.0)[:2] if words)
