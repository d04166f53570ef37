"""Which other makes a make is compared with: the rule that chooses them, saved with the make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.curves.registration import AS_IT_WAS, TIMES
from journal.keeping import Journal, MakeRow
from journal.records.comparisons import Comparison
from journal.records.instants import local
from journal.reports.make_filter import filter_of

PLAN, CULTURE, MILK, SEASON, BEST, TEXT, HAND = (
    "plan", "culture", "milk", "season", "best", "text", "hand",
)  # fmt: skip
RULES = (PLAN, CULTURE, MILK, SEASON, BEST, TEXT, HAND)
BY_DATE, BY_SCORE, BY_LIKENESS = "date", "score", "likeness"
ORDERS = (BY_DATE, BY_SCORE, BY_LIKENESS)
MOST = 50  # other makes at a time, the newest
BEST_MAKES = 5
RENNET_IN = "set"  # the stage whose begin makes are lined up at, until one chooses
_SEASON_MONTHS = 1  # so many months before and after count as the same season


@dataclass(frozen=True)
class ComparisonChoice:
    """How a make is compared: by which rule the others are chosen, with its text or the makes taken
    by hand (codes), in which order, and what they are lined up by."""

    by: str = PLAN
    text: str = ""
    makes: tuple[str, ...] = ()
    order: str = BY_DATE
    time: str = AS_IT_WAS
    moment: str = RENNET_IN


def choice_of(journal: Journal, make_id: int) -> ComparisonChoice:
    """How a make was last compared; the usual way where nobody chose, or another program wrote what
    this one does not know."""
    kept = journal.comparisons.of(make_id)
    if kept is None or not (kept.by in RULES and kept.order in ORDERS and kept.time in TIMES):
        return ComparisonChoice()
    codes = journal.makes.codes() if kept.makes else {}
    makes = tuple(codes.get(uuid, uuid) for uuid in kept.makes)
    return ComparisonChoice(kept.by, kept.text, makes, kept.order, kept.time, kept.moment)


def keep_choice(journal: Journal, make_id: int, choice: ComparisonChoice, part: str) -> None:
    """Keep how a make is compared, of which a part was changed; KeepingError where it cannot be."""
    uuids = {code: uuid for uuid, code in journal.makes.codes().items()} if choice.makes else {}
    makes = tuple(uuids.get(code, code) for code in choice.makes)
    before = journal.comparisons.of(make_id)
    record = Comparison(
        make_id, choice.by, choice.text, makes, choice.order, choice.time, choice.moment,
        journal.makes.get(make_id).uuid, before.id if before is not None else None,
    )  # fmt: skip
    journal.comparisons.choose(record, part)


def chosen(rows: Sequence[MakeRow], mine: MakeRow, choice: ComparisonChoice) -> list[MakeRow]:
    """The other makes by the rule, newest first: all that fit, of which the first `MOST` are laid
    beside it. Only makes that something was read of; failed ones too."""
    others = [row for row in rows if row.id != mine.id and row.readings]
    if choice.by == HAND:
        return [row for row in others if row.code in choice.makes]
    if choice.by == TEXT:
        return list(filter(filter_of(choice.text), others))
    if choice.by == CULTURE:
        return [row for row in others if _culture(row) == _culture(mine)]
    if choice.by == MILK:
        return [row for row in others if _milk(row) == _milk(mine)]
    if choice.by == SEASON:
        return [row for row in others if row.plan == mine.plan and _same_season(row, mine)]
    same = [row for row in others if row.plan == mine.plan]
    return _best(same) if choice.by == BEST else same


def _best(rows: Sequence[MakeRow]) -> list[MakeRow]:
    """The best scored of them, newest first."""
    scored = [row for row in rows if row.best_score is not None and not row.failed]
    best = sorted(scored, key=_score, reverse=True)[:BEST_MAKES]
    return [row for row in rows if row in best]


def _score(row: MakeRow) -> float:
    return row.best_score or 0.0


def _culture(row: MakeRow) -> str:
    """The lot where one was noted, else the type of culture."""
    return row.culture_lot or row.culture


def _milk(row: MakeRow) -> tuple[str, str, str]:
    return row.animal, row.treatment, row.source


def _same_season(row: MakeRow, mine: MakeRow) -> bool:
    months = [local(one.started_ms, one.zone).month for one in (row, mine)]
    apart = abs(months[0] - months[1])
    return min(apart, 12 - apart) <= _SEASON_MONTHS
