"""A wheel's attributes as one profile: the session that is shown, the one before it, and the best
that any wheel of its plan ever had."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from journal.keeping import Journal
from journal.keeping.session_rows import SessionMean
from journal.records import id_of
from journal.records.kinds import ATTRIBUTES
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.dates import short_day

# What a side is, as it is said.
THIS, LATEST = "reports.this-session", "reports.the-latest"
LAST, BEST = "reports.the-one-before", "reports.the-best-ever"


@dataclass(frozen=True)
class ProfileSide:
    """One of the marks of a row: which session it is, which wheel's where that is another one, on
    which day, and the mean of each attribute."""

    which: str
    wheel: str
    day: str
    means: Mapping[str, float]

    @property
    def title(self) -> str:
        """ "this session, 25 Nov 2026"; "the best ever, HL-0004-A, 3 Mar 2026"."""
        return ", ".join(part for part in (worded(self.which), self.wheel, self.day) if part)


@dataclass(frozen=True)
class Profile:
    """The sides there are, the shown session's first, and their attributes: the usual ones in their
    order, then those of one's own."""

    wheel: str
    sides: tuple[ProfileSide, ...]

    @property
    def attributes(self) -> tuple[str, ...]:
        """Every attribute that any side has a score for."""
        known = {name for side in self.sides for name in side.means}
        usual = [name for name in ATTRIBUTES if name in known]
        return (*usual, *sorted(known - set(ATTRIBUTES)))

    def row_text(self, attribute: str) -> str:
        """A row as it is read: "salt: this session 6.5, the one before 6.0"."""
        parts = [
            f"{worded(side.which)} {side.means[attribute]:.1f}"
            for side in self.sides
            if attribute in side.means
        ]
        return f"{attribute}: {', '.join(parts)}"


def profile_of(
    journal: Journal, wheel_id: int, tasting_id: int | None = None, *, best: bool = True
) -> Profile | None:
    """The profile of a wheel at a session, else at its latest; None where it was never scored.
    Without `best` the best ever, which is looked for in every wheel of its plan, is yet to come."""
    sessions: dict[int, list[SessionMean]] = {}
    for one in journal.sessions.means_of(wheel_id):
        sessions.setdefault(one.tasting_id, []).append(one)
    mine = list(sessions)
    if tasting_id is not None:
        mine = mine[: mine.index(tasting_id) + 1] if tasting_id in sessions else []
    if not mine:
        return None
    chosen = [(LATEST if tasting_id is None else THIS, sessions[mine[-1]])]
    chosen += [(LAST, sessions[mine[-2]])] if len(mine) > 1 else []
    greatest = journal.sessions.best_beside(wheel_id) if best else []
    chosen += [(BEST, greatest)] if greatest else []
    sides = tuple(_side(which, rows, wheel_id, journal.zone) for which, rows in chosen)
    code = sessions[mine[-1]][0].wheel_code
    return Profile(
        code, sides if best else (*sides, ProfileSide(BEST, "", worded("reports.looked-for"), {}))
    )


def profiles_of_make(journal: Journal, whole: WholeMake) -> list[Profile]:
    """The latest profile of each wheel of a make that was scored."""
    found = (profile_of(journal, id_of(wheel)) for wheel in whole.wheels)
    return [one for one in found if one is not None]


def _side(which: str, rows: Sequence[SessionMean], wheel_id: int, zone: str) -> ProfileSide:
    first = rows[0]
    other = first.wheel_code if first.wheel_id != wheel_id else ""
    means = {one.attribute: one.mean for one in rows}
    return ProfileSide(which, other, short_day(first.at_ms, zone), means)
