"""What went into the open make, and what its plan still has to come: amounts and lots to change."""

from __future__ import annotations

from dataclasses import dataclass

from journal.desk.cells import named_cell
from journal.desk.charts.marks import Mark
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AMOUNT, Field, FormValues
from journal.desk.stock.section import Act, Detail, DetailTable, Section
from journal.desk.tables import Column
from journal.keeping import KeepingError
from journal.records.dose_written import typed_amount
from journal.records.makes import Addition, Ingredient, Make
from journal.records.plans import Plan, Stage
from journal.records.stock import plain_name, take
from journal.wording import worded
from journal.wording.dates import clock
from journal.wording.doses import amount_words, lot_left_words
from journal.wording.letters import capital


@dataclass(frozen=True)
class UsedRow:
    """A dose: `addition` None while it is still to come; `source` is the lot or generation."""

    make: Make
    position: int
    stage: str
    kind: str
    name: str
    unit: str
    planned: float | None
    addition: Addition | None
    source: str
    first: bool
    spoons: bool = False

    @property
    def key(self) -> tuple[int | None, int, str, int | None]:
        """What it stands for."""
        added = self.addition.id if self.addition else None
        return self.make.id, self.position, plain_name(self.name), added


class UsedSection(Section[UsedRow]):
    """The doses of the make that is open, stage by stage."""

    title = "Used"
    listens_to = frozenset({"addition", "ingredient", "generation", "make", "stage_run"})

    def acts(self) -> tuple[Act, ...]:
        return (
            Act("Return", "change the amount or the lot", self.change, main="Change what was used"),
            Act("Delete", "delete the entry", self.take_back),
        )

    def columns(self) -> tuple[Column[UsedRow], ...]:
        return (
            Column("stage", _stage, quiet=True),
            Column("what", _name, stretch=True, marks=_name_marks),
            Column("planned", _planned, right=True, quiet=True),
            Column("used", _amount, right=True, bold=True),
            Column("lot", _source),
            Column("at", self._at, quiet=True),
        )

    def empty_text(self) -> tuple[str, str]:
        return (
            "No make is open, or its plan adds nothing.",
            "What the plan of the open make adds, and what was really used, will appear "
            "here. When a stage ends, its doses count as used in the planned amount, from "
            "the lot with the nearest date, unless you change them here.",
        )

    def rows(self) -> list[UsedRow]:
        make, plan = self._open()
        if make is None or plan is None:
            return []
        additions = self.journal.additions.where(make_id=make.id)
        sources = self._sources(additions)
        out: list[UsedRow] = []
        for position, stage in enumerate(plan.stages):
            here = [a for a in additions if a.position == position]
            out += _lines(make, position, stage, here, sources)
        return out

    def _open(self) -> tuple[Make | None, Plan | None]:
        make_id = self.desk.make_id
        found = self.journal.makes.where(id=make_id) if make_id is not None else []
        if not found:
            return None, None
        return found[0], self.journal.plans.get(found[0].plan_id)

    def _sources(self, additions: list[Addition]) -> dict[int | None, str]:
        lots = {i.id: i for i in self.journal.ingredients.all()}
        mothers = {g.id: g for g in self.journal.generations.all()}
        out: dict[int | None, str] = {}
        for one in additions:
            if one.generation_id in mothers:
                out[one.id] = worded("desk.generation", number=mothers[one.generation_id].number)
            elif one.ingredient_id in lots:
                out[one.id] = lots[one.ingredient_id].lot or worded("desk.from-stock")
        return out

    def detail(self, row: UsedRow) -> Detail:
        stock = self.journal.ingredients.all()
        lots = tuple((i.lot or "no lot given", lot_left_words(i)) for i in self._lots(row))
        in_stock = DetailTable("In stock", ("lot", "left"), lots, "None by this name.")
        head = capital(row.name)
        about = f"{row.make.code} · {row.stage} · {row.kind}"
        doubts = []
        if row.addition is None and row.planned:
            taken = take(stock, (row.kind, row.name, row.unit), row.planned, self.today,
                         self.journal.zone)  # fmt: skip
            if lots and taken[-1].lot is None:
                doubts.append(
                    worded("desk.not-in-stock", amount=amount_words(taken[-1].amount, row.unit))
                )
        words = (
            "It was used."
            if row.addition is not None
            else "It counts as used when its stage ends. Change it now if you add something else."
        )
        return Detail(head, about, tuple(doubts), (in_stock,), caution="", note=words)

    # Acts

    def change(self) -> None:
        """Ask what really went in, and from which lot."""
        row = self.current_row
        amount = row.addition.amount if row.addition is not None else row.planned or 0.0
        lots = [i.lot for i in self._lots(row) if i.lot]
        self.ask(
            FormSpec(
                f"{row.make.code}, {row.stage}: {row.name}",
                (
                    Field("amount", "Used", AMOUNT, row.unit, typed_amount(amount, row.unit),
                        "0 if left out", needed=True),
                    Field("lot", "Lot", text=row.source if row.source in lots else "",
                        choices=tuple(lots), only=True, hint="the nearest date"),
                ),
                self._change,
                instants=self.instants,
            )
        )  # fmt: skip

    def take_back(self) -> None:
        """It did not go in: its lot gets it back."""
        row = self.current_row
        if row.addition is not None:
            self.journal.stock.take_back(row.addition)

    def _lots(self, row: UsedRow) -> list[Ingredient]:
        wanted = row.kind, plain_name(row.name)
        return [i for i in self.journal.ingredients.all() if (i.kind, plain_name(i.name)) == wanted]

    def _change(self, message: FormValues) -> None:
        row, typed = self.current_row, message.amount("amount")
        if typed is None or ("g" if typed.quantity == "mass_g" else "ml") != row.unit:
            raise KeepingError("desk.plan-unit", name=row.name, unit=row.unit)
        lot = message.text("lot")
        lot_id = next((i.id for i in self._lots(row) if lot and i.lot == lot), None)
        if row.addition is not None:
            self.journal.stock.change(row.make, row.addition, typed.stored, lot_id)
            return
        what = (row.kind, row.name, row.unit)
        began = self.journal.runs.where(make_id=row.make.id, position=row.position)
        at_ms = began[0].began_ms if began and began[0].began_ms is not None else self.now_ms
        self.journal.stock.put_in(row.make, row.position, what, typed.stored, at_ms, lot_id)

    # Cells

    def _at(self, row: UsedRow) -> str:
        return "" if row.addition is None else clock(row.addition.at_ms, row.make.zone)


def _name_marks(row: UsedRow, wide: float, high: float) -> list[Mark]:
    come = row.addition is None
    return named_cell(row.name, wide, high, quiet=come, bold=not come)


def _lines(
    make: Make,
    position: int,
    stage: Stage,
    here: list[Addition],
    sources: dict[int | None, str],
) -> list[UsedRow]:
    """The lines of one stage: each dose with what went in of it, then what no dose asked for."""
    out: list[UsedRow] = []
    listens_to: set[int | None] = set()
    for dose in stage.doses:
        wanted = dose.kind, plain_name(dose.name)
        planned = dose.for_milk(make.milk.litres)
        found = [a for a in here if (a.kind, plain_name(a.name)) == wanted]
        ones: list[Addition] | list[None] = found or [None]
        for index, one in enumerate(ones):
            source = sources.get(one.id, "") if one is not None else ""
            amount = planned if index == 0 else None
            out.append(
                UsedRow(make, position, stage.label, dose.kind, dose.name, dose.unit, amount, one,
                      source, not out, dose.spoons)
            )  # fmt: skip
        listens_to |= {a.id for a in found}
    for one in here:
        if one.id not in listens_to:
            out.append(
                UsedRow(make, position, stage.label, one.kind, one.name, one.unit, None, one,
                      sources.get(one.id, ""), not out)
            )  # fmt: skip
    return out


def _stage(row: UsedRow) -> str:
    return row.stage if row.first else ""


def _name(row: UsedRow) -> str:
    return row.name


def _planned(row: UsedRow) -> str:
    if row.planned is None:
        return ""
    return amount_words(row.planned, row.unit, spoons=row.spoons)


def _amount(row: UsedRow) -> str:
    used = row.addition
    if used is None:
        return ""
    return amount_words(used.amount, row.unit) if used.amount else worded("desk.left-out")


def _source(row: UsedRow) -> str:
    return row.source
