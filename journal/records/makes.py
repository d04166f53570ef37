"""Makes: one day at the vat, what was planned for it and what really happened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from journal.records import RecordError
from journal.records.kinds import ANIMALS as ANIMALS
from journal.records.kinds import INGREDIENT_KINDS, check_one_of
from journal.records.kinds import TREATMENTS as TREATMENTS
from journal.records.plans import new_uuid

_MOST_FAT_PCT, _MOST_PROTEIN_PCT = 15.0, 12.0  # in milk
_MOST_EXTRA_MIN = 60 * 24 * 30
_RIM = 3  # numbers of a rim
FAILED, ABANDONED = "Failed: ", "Abandoned: "  # how the note begins that says why a make failed

MOST_KG_OF_CHEESE = 0.6  # from a litre of milk (common practice)


@dataclass(frozen=True)
class Milk:
    """What went into the vat; percentages as on the label or from a test, None when unknown."""

    litres: float
    animal: str = "cow"
    treatment: str = "pasteurised"
    source: str = ""
    fat_pct: float | None = None
    protein_pct: float | None = None
    homogenised: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.litres <= 10_000:
            raise RecordError("records.milk-litres", litres=self.litres)
        if self.fat_pct is not None and not 0 <= self.fat_pct <= _MOST_FAT_PCT:
            raise RecordError("records.milk-fat", pct=self.fat_pct, most_pct=_MOST_FAT_PCT)
        if self.protein_pct is not None and not 0 <= self.protein_pct <= _MOST_PROTEIN_PCT:
            raise RecordError(
                "records.milk-protein", pct=self.protein_pct, most_pct=_MOST_PROTEIN_PCT
            )

    def check_cheese(self, kilograms: float) -> None:
        """Refuse more cheese than that milk can give: quark takes a quarter of it."""
        if kilograms > MOST_KG_OF_CHEESE * self.litres:
            raise RecordError("records.too-much-cheese", kg=kilograms, litres=self.litres)


@dataclass(frozen=True)
class Make:
    """A plan that was run. `plan_id` is the plan as it stood when the make began.

    A whey cheese is a make of its own: `whey_from_make_id` is the make whose whey it came from,
    and `whey_l` how much of what went into the vat was that whey.
    """

    code: str
    plan_id: int
    milk: Milk
    started_ms: int
    zone: str = "UTC"
    name: str = ""
    finished_ms: int | None = None
    failed: bool = False
    culture_lot: str = ""
    backslop: bool = False
    whey_drawn_l: float | None = None
    water_added_l: float | None = None
    remark: str = ""
    whey_from_make_id: int | None = None
    whey_l: float | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    @property
    def running(self) -> bool:
        """It is neither finished nor has it failed."""
        return self.finished_ms is None and not self.failed

    def __post_init__(self) -> None:
        if self.whey_l is not None and not 0 < self.whey_l <= self.milk.litres:
            raise RecordError("records.too-much-whey", whey_l=self.whey_l, litres=self.milk.litres)


@dataclass(frozen=True)
class StageRun:
    """A stage of a make: planned and real begin and end (None: not yet).

    `extra_min` was added by hand since the stage began, or began again; `again_ms` are the
    instants it was begun again from its start, `turned_ms` those of its turns. A stage that was
    `skipped` never began. `reason` says in words why any of it was done.
    """

    make_id: int
    position: int
    kind: str
    planned_begin_ms: int
    planned_end_ms: int
    began_ms: int | None = None
    ended_ms: int | None = None
    extra_min: float = 0.0
    skipped: bool = False
    again_ms: tuple[int, ...] = ()
    turned_ms: tuple[int, ...] = ()
    reason: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not abs(self.extra_min) <= _MOST_EXTRA_MIN:
            raise RecordError("records.extra-minutes", minutes=self.extra_min, kind=self.kind)

    @property
    def running(self) -> bool:
        """It began and has not ended."""
        return self.began_ms is not None and self.ended_ms is None

    def minutes(self, planned_min: float) -> float:
        """How long it is to last from its begin, minutes, where the plan gives `planned_min`."""
        if self.skipped:
            return 0.0
        before = 0.0
        if self.again_ms and self.began_ms is not None:
            before = (self.again_ms[-1] - self.began_ms) / 60_000
        return max(0.0, before + planned_min + self.extra_min)

    @property
    def delay_min(self) -> float | None:
        """Minutes late (early below zero) against the plan's own clock; None when not begun."""
        if self.began_ms is None:
            return None
        return (self.began_ms - self.planned_begin_ms) / 60_000


def running_run(make: Make, runs: Iterable[StageRun]) -> StageRun | None:
    """The stage of a make that runs: of those begun and not ended, the last in the plan.

    None once the make is finished, failed or was abandoned.
    """
    if not make.running:
        return None
    return max((run for run in runs if run.running), key=_position, default=None)


def _position(run: StageRun) -> int:
    return run.position


@dataclass(frozen=True)
class Addition:
    """What really went in: amount in g or ml, at a stage, and where it came from: a lot on the
    shelf, a generation of a culture, or neither."""

    make_id: int
    position: int
    kind: str
    name: str
    amount: float
    unit: str
    at_ms: int
    ingredient_id: int | None = None
    generation_id: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)


@dataclass(frozen=True)
class Ingredient:
    """A lot in stock: kind, strength, lot, expiry, and what is left of the lot (None:
    nobody said)."""

    kind: str
    name: str
    strength: str = ""
    lot: str = ""
    expires_ms: int | None = None
    amount_left: float | None = None
    unit: str = "g"
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        check_one_of(self.kind, INGREDIENT_KINDS, "records.no-such-ingredient")
        if not self.name.strip():
            raise RecordError("records.ingredient-name")
        left = self.amount_left
        if left is not None and not 0 <= left <= 1_000_000:
            raise RecordError("records.ingredient-left", left=left, unit=self.unit)


@dataclass(frozen=True)
class Note:
    """Words about a make or a wheel at a moment, with a photo's file name when there is one.

    `rim` is where a wheel's rim is on its photo, once that was marked: the middle from the left and
    from the top and the radius, in widths of the upright photo; else empty.
    """

    at_ms: int
    text: str
    make_id: int | None = None
    wheel_id: int | None = None
    photo: str = ""
    rim: tuple[float, ...] = ()
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if self.rim and (len(self.rim) != _RIM or self.rim[-1] <= 0):
            raise RecordError("records.rim")


def tags_of(remark: str) -> tuple[str, ...]:
    """The tags in a remark: its words that begin with #, without it, each once."""
    words = (word.strip("#.,;").casefold() for word in remark.split() if word.startswith("#"))
    return tuple(dict.fromkeys(word for word in words if word))


def with_tags(remark: str, tags: Iterable[str]) -> str:
    """A remark with these tags behind its other words, instead of those it has."""
    words = [word for word in remark.split() if not word.startswith("#")]
    return " ".join([*words, *(f"#{tag}" for tag in tags)])


def failure_note(make: Make, notes: Iterable[Note]) -> Note | None:
    """The note that says why a make failed, or was abandoned; None where there is none."""
    if not make.failed:
        return None
    failures = [n for n in notes if n.make_id == make.id and n.text.startswith((FAILED, ABANDONED))]
    return max(failures, key=_at, default=None)


def _at(note: Note) -> int:
    return note.at_ms


@dataclass(frozen=True)
class Entered:
    """A make variable that came in from a table of past makes, because no record here holds it."""

    make_id: int
    name: str
    value: float | None
    text: str = ""
    unit: str = ""
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)
