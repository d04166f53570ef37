"""The ingredients in stock: lots and dates, what is left, and for how many makes."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from journal.desk.cells import marked_cell, named_cell
from journal.desk.charts.marks import Mark
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AMOUNT, DAY, Field, FormValues
from journal.desk.stock.section import Act, Detail, DetailTable, Section
from journal.desk.tables import Column
from journal.keeping import Journal
from journal.records import id_of
from journal.records.dose_written import typed_amount
from journal.records.due import shortages
from journal.records.kinds import INGREDIENT_KINDS
from journal.records.makes import Ingredient
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan
from journal.records.stock import Supply, enough_for, passed_on, plain_name
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.doses import amount_words, lot_left_words, strength_sentence
from journal.wording.letters import capital

# The unit a bare number is in, by kind. Common practice, no source.
_LIQUID = ("rennet", "calcium chloride", "colour", "water")
# Common practice, no source; those of packets come first.
_CAUTIONS = {
    "culture": "A culture that is old or was kept warm may sour slowly, and a slow make can make "
    "people ill: past its date, use a fresh packet.",
    "rennet": "Rennet weakens with age: a clotting test shows how much more you need.",
    "calcium chloride": "It gets hot in water and stings eyes and skin: dissolve it in "
    "plenty of cold water, well before you add it.",
    "mould": "Do not breathe the powder.",
    "lipase": "Do not breathe the powder.",
}
_LATELY = 6


@dataclass(frozen=True)
class StockRow:
    """A lot in stock, or (`lot` None) something a plan needs that is not there.

    `enough` is what all lots of the name are enough for, at the first of them; `past` and `low`
    are as Today has them.
    """

    kind: str
    name: str
    lot: Ingredient | None
    enough: str = ""
    past: bool = False
    low: bool = False
    first: bool = True
    unit: str = "g"

    @property
    def key(self) -> tuple[str, str, int | None]:
        """What it stands for."""
        return self.kind, plain_name(self.name), self.lot.id if self.lot else None


class IngredientSection(Section[StockRow]):
    """Lots by kind and name; what kept plans need and the stock lacks stands below."""

    title = "Ingredients"
    listens_to = frozenset({"ingredient", "addition", "plan", "make", "stage_run"})

    def acts(self) -> tuple[Act, ...]:
        words = "Add an ingredient"
        return (
            Act("", "add", self.add, row=False, main=words, begin=words),
            Act("Return", "change", self.change),
            Act("Delete", "delete", self.remove),
        )

    def columns(self) -> tuple[Column[StockRow], ...]:
        return (
            Column("name", _name, stretch=True, marks=_name_marks),
            Column("lot", _lot, quiet=True),
            Column("use by", self._date, marks=self._date_marks, sort=_good_till),
            Column("left", _left, right=True, marks=_left_marks),
            Column("enough for", _enough, quiet=True),
        )

    def empty_text(self) -> tuple[str, str]:
        return (
            "No ingredients yet.",
            "Each culture, rennet and salt will appear here with its lot, its date, what is "
            "left and how many makes that is enough for. A make uses what its plan says, the "
            "nearest date first.",
        )

    def rows(self) -> list[StockRow]:
        stock = self.journal.ingredients.all()
        plans = plans_in_use(self.journal)
        short = shortages(stock, self.journal.care_tasks.last_used(), self.today, self.journal.zone)
        low = {(s.ingredient.kind, plain_name(s.ingredient.name)) for s in short if s.past is None}
        rows, before = [], None
        for item in sorted(stock, key=_order):
            name = item.kind, plain_name(item.name)
            gone_by = passed_on(item, self.today, self.journal.zone) is not None
            rows.append(
                StockRow(
                    item.kind, item.name, item,
                    self._enough(plans, stock, item) if name != before else "",
                    gone_by and item.amount_left != 0, name in low and not gone_by,
                    name != before, item.unit,
                )
            )  # fmt: skip
            before = name
        return rows + missing(plans, {row.key[:2] for row in rows})

    def _enough(self, plans: list[Plan], stock: list[Ingredient], item: Ingredient) -> str:
        """ "30 × tomme": of the plan that was made last of those that need it."""
        for plan, supply in self._supplies(plans, stock, item.kind, item.name):
            if supply.makes is not None:
                return f"{supply.makes} × {plan.name}"
        return ""

    def _supplies(
        self, plans: list[Plan], stock: list[Ingredient], kind: str, name: str
    ) -> list[tuple[Plan, Supply]]:
        wanted = kind, plain_name(name)
        return [
            (plan, supply)
            for plan in plans
            for supply in enough_for(plan, stock, self.today, self.journal.zone)
            if (supply.kind, plain_name(supply.name)) == wanted
        ]

    def detail(self, row: StockRow) -> Detail:
        zone = self.journal.zone
        plans, stock = plans_in_use(self.journal), self.journal.ingredients.all()
        supplies = self._supplies(plans, stock, row.kind, row.name)
        enough = DetailTable(
            "Enough for",
            ("plan", "per make", "makes"),
            tuple((p.name, amount_words(s.per_make, s.unit), _makes(s)) for p, s in supplies),
            "No plan in this journal uses this name.",
        )
        about = [row.kind]
        if row.lot is not None:
            about += [row.lot.strength] if row.lot.strength else []
            about += [worded("desk.lot", lot=row.lot.lot)] if row.lot.lot else []
            if row.lot.expires_ms is not None:
                about.append(worded("desk.use-by", day=short_day(row.lot.expires_ms, zone)))
        else:
            about.append("not in stock")
        return Detail(
            capital(row.name),
            " · ".join(about),
            tuple(self._doubts(row, supplies)),
            (enough, self._lately(row)),
            _CAUTIONS.get(row.kind, ""),
        )

    def _doubts(self, row: StockRow, supplies: list[tuple[Plan, Supply]]) -> list[str]:
        if row.lot is None:
            return []
        doubts = []
        if row.past and row.lot.expires_ms is not None:
            day = short_day(row.lot.expires_ms, self.journal.zone)
            doubts.append(worded("desk.lot-past-date", day=day))
        if row.low:
            doubts.append("Not enough for two more makes like the last. Buy some.")
        dosed = [(plan, supply) for plan, supply in supplies if supply.unit == "ml"]
        if dosed:
            plan, supply = dosed[0]
            sentence = strength_sentence(row.lot, plan.name, supply.per_make)
            doubts += [sentence] if sentence else []
        if any(s.left is None for _, s in supplies) and row.lot.amount_left is not None:
            doubts.append(
                "The plans measure it by weight and the stock by volume, or the other way "
                "round, so the number of makes is unknown."
            )
        return doubts

    def _lately(self, row: StockRow) -> DetailTable:
        used = self.journal.stock.lately(row.kind, row.name, _LATELY)
        return DetailTable(
            "Used lately",
            ("make", "amount", "lot", "on"),
            tuple(
                (one.code, amount_words(one.amount, one.unit), one.lot,
                 short_day(one.at_ms, one.zone))
                for one in used
            ),
            "Not used in a make yet.",
        )  # fmt: skip

    # Acts

    def add(self) -> None:
        """Add a lot to the stock; one that is missing is named already."""
        row: StockRow | None = self.table.current()
        missed = row if row is not None and row.lot is None else None
        kind = missed.kind if missed else ""
        blank = Ingredient("other", "new", unit=missed.unit if missed else "g")
        self.ask(self._form("Add an ingredient", blank, self._add, kind, missed))

    def change(self) -> None:
        """Change the current lot; for one that is missing, put it there."""
        row = self.current_row
        if row.lot is None:
            self.add()
            return
        self.ask(
            self._form(
                worded("desk.change", name=row.lot.name), row.lot, self._change, row.kind, row
            )
        )

    def remove(self) -> None:
        """Take the lot out of the stock; undo brings it back."""
        lot = self.current_row.lot
        if lot is not None:
            with self.journal.unit(worded("desk.step-delete", name=lot.name), self):
                self.journal.ingredients.remove(id_of(lot))

    def _form(
        self, title: str, lot: Ingredient, save: Callable[[FormValues], None], kind: str,
        row: StockRow | None,
    ) -> FormSpec:  # fmt: skip
        names = sorted({d.name for p in plans_known(self.journal) for _, d, _ in p.amounts()})
        there = lot.id is not None
        date = "" if lot.expires_ms is None else short_day(lot.expires_ms, self.journal.zone)
        unit = lot.unit if there else ("ml" if kind in _LIQUID else "g")
        unit = row.unit if row is not None and not there else unit
        left = "" if lot.amount_left is None else typed_amount(lot.amount_left, lot.unit)
        return FormSpec(
            title,
            (
                Field("kind", "Kind", text=kind, choices=INGREDIENT_KINDS, only=True, needed=True),
                Field("name", "Name in the plans", text=row.name if row else "",
                    choices=tuple(names), needed=True),
                Field("strength", "Strength", text=lot.strength, hint="as on the packet"),
                Field("lot", "Lot", text=lot.lot, hint="if there is one"),
                Field("expires", "Use by", DAY, text=date, hint="14 March 2027 or 03/2027"),
                Field("left", "Left", AMOUNT, unit if unit in ("g", "ml") else "g", left,
                    "20 g or 50 ml", follows="" if there else "kind",
                    units=tuple((kind, "ml") for kind in _LIQUID)),
            ),
            save,
            instants=self.instants,
            first="strength" if row is not None and not there else "left" if there else "kind",
        )  # fmt: skip

    def _add(self, message: FormValues) -> None:
        with self.journal.unit(worded("desk.step-add", name=message.text("name")), self):
            self.journal.ingredients.save(_lot_of(Ingredient("other", "new"), message))

    def _change(self, message: FormValues) -> None:
        lot = self.current_row.lot
        if lot is not None:
            with self.journal.unit(worded("desk.step-change", name=lot.name), self):
                self.journal.ingredients.save(_lot_of(lot, message))

    # Cells

    def _date(self, row: StockRow) -> str:
        if row.lot is None or row.lot.expires_ms is None:
            return ""
        return short_day(row.lot.expires_ms, self.journal.zone)

    def _date_marks(self, row: StockRow, wide: float, high: float) -> list[Mark]:
        return marked_cell(self._date(row), wide, high, marked=row.past)


def _name_marks(row: StockRow, wide: float, high: float) -> list[Mark]:
    words, there = row.name if row.first or row.lot is None else "", row.lot is not None
    plain = row.kind == "other" or row.kind in row.name.casefold()
    kind = "" if not words or plain else row.kind
    return named_cell(words, wide, high, quiet=not there, bold=there, beside=kind)


def _left_marks(row: StockRow, wide: float, high: float) -> list[Mark]:
    return marked_cell(_left(row), wide, high, marked=row.low, right=True)


def plans_in_use(journal: Journal) -> list[Plan]:
    """The plans of the journal, the one made last first."""
    plans = {plan.name: plan for plan in journal.plans.latest()}
    order = list(dict.fromkeys([*journal.stock.plans_made(), *plans]))
    return [plans[name] for name in order if name in plans]


def plans_known(journal: Journal) -> list[Plan]:
    """The plans of the journal and those that come along."""
    own = journal.plans.latest()
    names = {plan.name for plan in own}
    return own + [plan for plan in builtin_plans() if plan.name not in names]


def missing(plans: list[Plan], there: set[tuple[str, str]]) -> list[StockRow]:
    """What plans need that is not in stock under its name."""
    out: dict[tuple[str, str], StockRow] = {}
    for plan in plans:
        for _, dose, _ in plan.amounts():
            name = dose.kind, plain_name(dose.name)
            if name not in there and name not in out and dose.kind != "water":
                words = worded("desk.for-plan", name=plan.name)
                out[name] = StockRow(dose.kind, dose.name, None, words, unit=dose.unit)
    return list(out.values())


def _lot_of(lot: Ingredient, message: FormValues) -> Ingredient:
    """The lot with what was typed of it."""
    left = message.amount("left")
    unit, amount = lot.unit, None
    if left is not None:
        unit, amount = ("g" if left.quantity == "mass_g" else "ml"), left.stored
    return replace(
        lot,
        kind=message.text("kind"),
        name=message.text("name"),
        strength=message.text("strength"),
        lot=message.text("lot"),
        expires_ms=message.instant("expires"),
        amount_left=amount,
        unit=unit,
    )


def _makes(supply: Supply) -> str:
    if supply.makes is None:
        return worded("wording.unknown") if supply.left is None else ""
    return worded("wording.many-make", number=supply.makes)


def _order(item: Ingredient) -> tuple[int, str, bool, int, int]:
    kind = INGREDIENT_KINDS.index(item.kind)
    used_up = item.amount_left == 0
    expires_ms = 2**62 if item.expires_ms is None else item.expires_ms
    return kind, plain_name(item.name), used_up, expires_ms, id_of(item)


def _name(row: StockRow) -> str:
    return row.name


def _lot(row: StockRow) -> str:
    return row.lot.lot if row.lot else ""


def _good_till(row: StockRow) -> float:
    expires_ms = None if row.lot is None else row.lot.expires_ms
    return math.inf if expires_ms is None else expires_ms


def _left(row: StockRow) -> str:
    return worded("wording.none") if row.lot is None else lot_left_words(row.lot)


def _enough(row: StockRow) -> str:
    return row.enough
