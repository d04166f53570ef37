"""How an open session is going: who has scored which wheel, and how much of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.desk.tastings.progress import DONE, NOW, TO_COME, TYPED, ProgressBox, ProgressRow
from journal.keeping.session_rows import GivenRow
from journal.records.kinds import ATTRIBUTES


@dataclass(frozen=True)
class SessionTable:
    """The table: a head for each wheel, a row for each assessor; a box picks (wheel id, name)."""

    heads: tuple[str, ...]
    rows: tuple[ProgressRow, ...]


def going(
    given: Sequence[GivenRow],
    people: Sequence[str],
    at: tuple[int, str] | None,
    who: str,
    typed: set[tuple[int, str]],
) -> SessionTable:
    """How far everybody is.

    Parameters
    ----------
    given : sequence of GivenRow
        All scores of the session.
    people : sequence of str
        Who is known to taste here.
    at, who : tuple or None, str
        The wheel (id, code) and the assessor of the sheet that is open.
    typed : set
        (wheel id, name in small letters) with something typed and not kept.
    """
    wheels = list(dict.fromkeys((g.wheel_id, g.wheel_code) for g in given))
    if at is not None and at not in wheels:
        wheels.append(at)
    names = list(dict.fromkeys([*people, *(g.assessor for g in given)]))
    if who and who.casefold() not in {name.casefold() for name in names}:
        names.append(who)
    count: dict[tuple[int, str], int] = {}
    for one in given:
        place = (one.wheel_id, one.assessor)
        count[place] = count.get(place, 0) + 1
    here = (at[0] if at else None, who.casefold())
    rows = [
        ProgressRow(
            name,
            tuple(_box(count.get((key, name), 0), (key, name), here, typed) for key, _ in wheels),
            name.casefold() == here[1],
        )
        for name in names
    ]
    return SessionTable(tuple(code for _, code in wheels), tuple(rows))


def _box(
    scores: int, key: tuple[int, str], here: tuple[int | None, str], typed: set[tuple[int, str]]
) -> ProgressBox:
    words = f"{scores} of {max(len(ATTRIBUTES), scores)}" if scores else ""
    place = (key[0], key[1].casefold())
    if place == here:
        return ProgressBox(words or "tasting", NOW, key)
    if place in typed:
        return ProgressBox("not saved", TYPED, key)
    return ProgressBox(words, DONE if scores else TO_COME, key)
