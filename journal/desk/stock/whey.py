"""Whey: the makes whose whey may still become cheese, and the whey cheeses made of it."""

from __future__ import annotations

from dataclasses import dataclass

from journal.desk.form.form import FormSpec
from journal.desk.form.spec import Field, FormValues
from journal.desk.stock.ingredients import plans_known
from journal.desk.stock.section import Act, Detail, DetailTable, Section
from journal.desk.tables import Column
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.makes import Make
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.shown import shown_figure, unit_label, write

_MAKES_SHOWN = 60
_FRESH_DAYS = 2  # so long a make is offered; the whey itself keeps for hours
# Common practice, no source.
WHEY_CAUTION = (
    "Use the whey within a few hours, while it is sweet: whey that stood warm sours and "
    "spoils, so throw away the whey of a make that went wrong. It is heated to about 85 to "
    "95 °C: steam and hot whey scald, and a full pot is heavy. Whey cheese is soft and "
    "moist: keep it cold and eat it within days. Local rules come first."
)


@dataclass(frozen=True)
class WheyRow:
    """A make, what of its whey was used, and the plan it was made from."""

    make: Make
    plan: Plan
    cheeses: tuple[Make, ...]

    @property
    def key(self) -> int | None:
        """What it stands for."""
        return self.make.id

    @property
    def used_l(self) -> float:
        """Whey that went into cheese, L."""
        return sum(cheese.whey_l or 0.0 for cheese in self.cheeses)

    @property
    def whey_l(self) -> float:
        """About how much whey there was, L: the milk and water less the curd, at the plan's
        yield (common practice, no source)."""
        make = self.make
        curd_l = make.milk.litres * self.plan.yield_pct / 100
        return make.milk.litres + (make.water_added_l or 0.0) - curd_l


class WheySection(Section[WheyRow]):
    """Makes of the last days, and those that gave a whey cheese: a make of its own."""

    title = "Whey"
    listens_to = frozenset({"make", "plan"})
    caution = WHEY_CAUTION

    def acts(self) -> tuple[Act, ...]:
        return (
            Act("", "start a whey cheese", self.begin_whey, main="Start a whey cheese"),
            Act("Return", "open the make", self.open_make),
        )

    def columns(self) -> tuple[Column[WheyRow], ...]:
        return (
            Column("make", _code, bold=True),
            Column("on", _day, quiet=True, sort=_began),
            Column("plan", _plan, stretch=True),
            Column(worded("desk.whey-column", unit=unit_label("volume")), _whey, right=True),
            Column("whey cheese", _cheeses),
        )

    def empty_text(self) -> tuple[str, str]:
        return (
            "No fresh whey.",
            "Makes of the last few days will appear here with about how much whey they gave. "
            "A whey cheese is a make of its own, with its own code, linked to the first.",
        )

    def rows(self) -> list[WheyRow]:
        rows = [
            WheyRow(
                make,
                self.journal.plans.get(make.plan_id),
                tuple(self.journal.makes.where(whey_from_make_id=make.id)),
            )
            for make in self.journal.makes.newest(_MAKES_SHOWN)
            if make.whey_from_make_id is None
        ]
        since = self.now_ms - _FRESH_DAYS * DAY_MS
        return [row for row in rows if row.make.started_ms >= since or row.cheeses]

    def detail(self, row: WheyRow) -> Detail:
        make = row.make
        kind = "desk.whey-left" if row.used_l else "desk.whey-there"
        about = worded(kind, name=row.plan.name, litres=row.whey_l, used=row.used_l)
        doubts = []
        if make.failed:
            doubts.append("This make failed: do not use its whey.")
        if make.milk.treatment == "raw":
            doubts.append("Raw milk: heat through whatever you make from its whey.")
        cheeses = DetailTable(
            "Whey cheese from it",
            ("make", "whey", "with milk", "on"),
            tuple(_line(cheese) for cheese in row.cheeses),
            "None yet.",
        )
        return Detail(
            worded("desk.whey-of", code=make.code), about, tuple(doubts), (cheeses,), WHEY_CAUTION
        )

    # Acts

    def begin_whey(self) -> None:
        """Ask how much whey and which plan, and begin."""
        row = self.current_row
        plans = [plan.name for plan in plans_known(self.journal)]
        likely = next((name for name in plans if "whey" in name.casefold()), "")
        left = max(row.whey_l - row.used_l, 0.0)
        self.ask(
            FormSpec(
                worded("desk.whey-cheese-from", code=row.make.code),
                (
                    Field("whey", "Whey", "volume", "L",
                        write(left, "volume", digits=1) if left else "",
                        needed=True),
                    Field("milk", "Milk added", "volume", "L", hint="none, or 1 L"),
                    Field("plan", "Plan", text=likely, choices=tuple(plans), only=True,
                        needed=True),
                ),
                self._begin,
                words="Start",
                instants=self.instants,
            )
        )  # fmt: skip

    def open_make(self) -> None:
        """Go to the make."""
        self.goes.emit("makes", self.current_row.make.id)

    def _begin(self, message: FormValues) -> None:
        row = self.current_row
        plan = next(p for p in plans_known(self.journal) if p.name == message.text("plan"))
        make = self.journal.makes.begin_whey(
            id_of(row.make),
            plan,
            message.needed("whey"),
            self.now_ms,
            milk_l=message.number("milk") or 0.0,
        )
        self.says.emit(worded("desk.whey-cheese-started", code=make.code, name=make.name), False)
        self.goes.emit("vat", make.id)


def _line(cheese: Make) -> tuple[str, ...]:
    whey = cheese.whey_l or 0.0
    milk = cheese.milk.litres - whey
    words = write(milk, "volume", digits=1) if milk > 0.005 else ""
    day = short_day(cheese.started_ms, cheese.zone)
    return cheese.code, write(whey, "volume", digits=1), words, day


def _code(row: WheyRow) -> str:
    return row.make.code


def _day(row: WheyRow) -> str:
    return short_day(row.make.started_ms, row.make.zone)


def _began(row: WheyRow) -> int:
    return row.make.started_ms


def _plan(row: WheyRow) -> str:
    return row.plan.name


def _whey(row: WheyRow) -> str:
    return shown_figure(row.whey_l, "volume", 1)


def _cheeses(row: WheyRow) -> str:
    return ", ".join(cheese.code for cheese in row.cheeses)
