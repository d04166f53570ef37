"""Panel tests: whether a panel can tell two cheeses apart, or puts several in an order."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.records import RecordError
from journal.records.kinds import check_one_of
from journal.records.plans import new_uuid

TRIANGLE, PAIRED, DUO_TRIO, TETRAD, TWO_OF_FIVE, RANKING = (
    "triangle",
    "paired comparison",
    "duo-trio",
    "tetrad",
    "two-out-of-five",
    "ranking",
)
TEST_KINDS = (TRIANGLE, PAIRED, DUO_TRIO, TETRAD, TWO_OF_FIVE, RANKING)
# Cups of a set; a ranking has its items.
CUPS = {TRIANGLE: 3, PAIRED: 2, DUO_TRIO: 3, TETRAD: 4, TWO_OF_FIVE: 5}
PICKED = {TRIANGLE: 1, PAIRED: 1, DUO_TRIO: 1, TETRAD: 2, TWO_OF_FIVE: 2}  # named in an answer


@dataclass(frozen=True)
class PanelTest:
    """A test that was set up.

    `attribute` is what a paired comparison or a ranking asks for ("bitter": which is more so).
    `expected` is the number of the item a paired comparison foresees to have more of it; None
    where either would do. `lifted_ms` is None while the answers are hidden.
    """

    at_ms: int
    zone: str
    kind: str
    attribute: str = ""
    expected: int | None = None
    note: str = ""
    lifted_ms: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.kind, TEST_KINDS, "records.no-such-panel-test")
        if self.kind in (PAIRED, RANKING) and not self.attribute.strip():
            raise RecordError("records.test-attribute", kind=self.kind)


@dataclass(frozen=True)
class PanelItem:
    """One of the cheeses of a panel test: a wheel, or a cheese from elsewhere under a name."""

    panel_test_id: int
    number: int  # from 0
    wheel_id: int | None = None
    reference: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if (self.wheel_id is None) == (not self.reference.strip()):
            raise RecordError("records.test-cheese")


@dataclass(frozen=True)
class PanelSet:
    """The cups one assessor gets at once, and what they answered.

    `cups` holds the item's number in each cup, in serving order; `codes` their codes (an
    empty code is the open reference of a duo-trio, which comes first). `answer` holds the places
    of the cups named, for a ranking all of them, the most first; empty while nothing is answered.
    """

    panel_test_id: int
    number: int  # from 0
    assessor_id: int
    cups: tuple[int, ...]
    codes: tuple[str, ...]
    answer: tuple[int, ...] = ()
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if len(self.cups) != len(self.codes):
            raise RecordError("records.test-codes")
        named = set(self.answer)
        if len(named) != len(self.answer) or not named <= set(range(len(self.cups))):
            raise RecordError("records.test-cups")


def is_right(kind: str, cups: tuple[int, ...], answer: tuple[int, ...]) -> bool:
    """Whether an answer finds what there was to find.

    Triangle: the odd cup. Duo-trio: the cup that is as the reference, which stands first.
    Two-out-of-five: the two that are alike. Tetrad: either of the two pairs. A paired comparison
    and a ranking know no right.

    Raises
    ------
    RecordError
        For a kind without a right answer, or an answer of another length.
    """
    if kind not in (TRIANGLE, DUO_TRIO, TETRAD, TWO_OF_FIVE):
        raise RecordError("records.test-no-right-answer", kind=kind)
    if len(answer) != PICKED[kind]:
        raise RecordError("records.test-answer", kind=kind, cups=PICKED[kind])
    named = [cups[index] for index in answer]
    if kind == DUO_TRIO:
        return named[0] == cups[0] and 0 not in answer
    return named == [named[0]] * cups.count(named[0])
