"""How far a session is, open or under codes: who has which sample, and how much of it is given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.records.kinds import ATTRIBUTES
from journal.wording import worded

DONE, NOW, NAMED, TYPED, TO_COME = "done", "now", "named", "typed", "to come"


@dataclass(frozen=True)
class ProgressBox:
    """One sample of one assessor: its words, how it looks, and what a click on it picks (None for
    nothing)."""

    words: str
    look: str
    key: object = None


@dataclass(frozen=True)
class ProgressRow:
    """An assessor with a box for each sample; `here` marks the one whose turn it is."""

    name: str
    boxes: tuple[ProgressBox, ...]
    here: bool = False


@dataclass(frozen=True)
class Served:
    """A sample as an assessor has it: what it is picked by, how much is `given`, whether something
    is `typed` and not saved. A sample without a `code` is known by name."""

    assessor: str
    key: object
    given: int
    code: str = ""
    typed: bool = False


def progress_rows(servings: Sequence[Served], now: object) -> list[ProgressRow]:
    """Everyone's samples in the order they are in; `now` is the key of the current one."""
    turn = next((one.assessor for one in servings if one.key == now), None)
    rows: dict[str, list[ProgressBox]] = {}
    for one in servings:
        rows.setdefault(one.assessor, []).append(_box(one, one.key == now))
    return [ProgressRow(name, tuple(boxes), name == turn) for name, boxes in rows.items()]


def _box(one: Served, now: bool) -> ProgressBox:
    look = NOW if now else TYPED if one.typed else DONE if one.given else TO_COME
    return ProgressBox(one.code or _how_much(one, look), look, one.key)


def _how_much(one: Served, look: str) -> str:
    if look == TYPED:
        return worded("wording.progress-not-saved")
    if one.given:
        return worded(
            "wording.progress-given", given=one.given, all=max(len(ATTRIBUTES), one.given)
        )
    return worded("wording.progress-tasting") if look == NOW else ""
