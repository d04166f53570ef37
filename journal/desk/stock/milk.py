"""Milk by lot: whose it was, its tests and price, and the makes it went into."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from journal.desk.form.form import FormSpec
from journal.desk.form.spec import DAY, Field, FormValues
from journal.desk.stock.section import Act, Detail, DetailTable, Section
from journal.desk.tables import Column
from journal.records import id_of
from journal.records.makes import Make
from journal.records.milk_lots import MilkLot, cost_of
from journal.wording import worded
from journal.wording.dates import short_day
from journal.wording.numbers import number, short
from journal.wording.shown import write

# Common practice, no source.
MILK_CAUTION = (
    "Raw milk can carry Listeria, Salmonella and harmful E. coli whatever is tested here: "
    "pasteurise it for fresh and soft cheese, keep it at 4 °C or below and use it within two "
    "days. Local codes come first."
)


@dataclass(frozen=True)
class MilkRow:
    """A lot, the day as it is written, and the makes it went into with the litres of it."""

    lot: MilkLot
    day: str
    makes: tuple[tuple[Make, float], ...]

    @property
    def key(self) -> int | None:
        """What it stands for."""
        return self.lot.id


class MilkSection(Section[MilkRow]):
    """The lots of milk, the newest first."""

    title = "Milk"
    caution = MILK_CAUTION
    listens_to = frozenset({"milk_lot", "milk_use", "make", "wheel"})

    def acts(self) -> tuple[Act, ...]:
        return (
            Act("", "add a lot of milk", self.add, row=False, main="Add milk", begin="Add milk"),
            Act("Return", "change it", self.change),
            Act("", "it went into the open make", self.pour),
            Act("Delete", "delete it", self.remove),
        )

    def columns(self) -> tuple[Column[MilkRow], ...]:
        return (
            Column("farm", _farm, bold=True, stretch=True),
            Column("day", _day, quiet=True, sort=_day_ms),
            Column("fat %", _fat, right=True),
            Column("protein %", _protein, right=True),
            Column("pH", _ph, right=True),
            Column("a litre", _price, right=True, spare=True),
            Column("makes", _makes, quiet=True),
        )

    def empty_text(self) -> tuple[str, str]:
        return (
            "No milk by lot.",
            "Each can or tank will appear here with whose it was, its fat, protein, pH and price. "
            "A make takes these over, Findings looks at them, and a kilogram of cheese gets a "
            "price.",
        )

    def rows(self) -> list[MilkRow]:
        lots = sorted(self.journal.milk_lots.all(), key=lambda lot: -lot.day_ms)
        zone, milk = self.journal.zone, self.journal.milk
        return [
            MilkRow(lot, short_day(lot.day_ms, zone), tuple(milk.makes_of(id_of(lot))))
            for lot in lots
        ]

    def detail(self, row: MilkRow) -> Detail:
        lines = tuple(
            (make.code, write(litres, "volume", digits=1), self._cost(make))
            for make, litres in row.makes
        )
        into = DetailTable("Makes of it", ("make", "of it", "milk in a kg of cheese"), lines,
                           "None yet. P says that it went into the open make.")  # fmt: skip
        return Detail(worded("desk.milk-of", farm=row.lot.farm), row.day, (), (into,), MILK_CAUTION,
                      note=row.lot.remark)  # fmt: skip

    def _cost(self, make: Make) -> str:
        whole = cost_of(make.milk, self.journal.milk.of(id_of(make)))
        green = [w.green_weight_kg for w in self.journal.wheels.where(make_id=make.id)]
        known = [kg for kg in green if kg is not None]
        if whole is None or not known or len(known) < len(green):
            return ""
        return short(whole / sum(known), 2)

    # Acts

    def add(self) -> None:
        """Ask for a lot; the last one's farm stands there."""
        rows = self.rows()
        blank = replace(MilkLot(rows[0].lot.farm, self.now_ms)) if rows else None
        self.ask(self._form("Add milk", blank, self._add))

    def change(self) -> None:
        """Change the current lot."""
        lot = self.current_row.lot
        self.ask(self._form(worded("desk.change-milk-of", farm=lot.farm), lot, self._change))

    def remove(self) -> None:
        """Take the lot away; undo brings it back."""
        lot = self.current_row.lot
        with self.journal.unit(worded("desk.step-delete-milk", farm=lot.farm), self):
            self.journal.milk_lots.remove(id_of(lot))

    def pour(self) -> None:
        """Say how much of the lot went into the open make."""
        if self.desk.make_id is None:
            self.says.emit("No make is open: open one in Makes first.", True)
            return
        make = self.journal.makes.get(self.desk.make_id)
        field = Field("litres", "Of it", "volume", "L", write(make.milk.litres, "volume"),
                      needed=True)  # fmt: skip
        title = worded("desk.milk-into", farm=self.current_row.lot.farm, code=make.code)
        self.ask(FormSpec(title, (field,), self._pour, instants=self.instants))

    def _form(
        self, title: str, lot: MilkLot | None, save: Callable[[FormValues], None]
    ) -> FormSpec:
        day = "" if lot is None or lot.id is None else short_day(lot.day_ms, self.journal.zone)
        known = lot if lot is not None and lot.id is not None else MilkLot(" -", 0)
        return FormSpec(
            title,
            (
                Field("farm", "Farm or shop", text=lot.farm if lot else "", needed=True,
                    hint="in your words"),
                Field("day", "Milked or bought", DAY, text=day, hint="today"),
                Field("fat", "Fat", "percent", "%", _typed(known.fat_pct), "3.8 %"),
                Field("protein", "Protein", "percent", "%",
                    _typed(known.protein_pct), "3.3 %"),
                Field("ph", "pH", "ph", text=_typed(known.ph), hint="6.65"),
                Field("price", "A litre costs", "number", text=_typed(known.price),
                    hint="in your money"),
                Field("remark", "Note", text=known.remark, hint="optional"),
            ),
            save,
            instants=self.instants,
        )  # fmt: skip

    def _add(self, values: FormValues) -> None:
        with self.journal.unit(worded("desk.step-add-milk", farm=values.text("farm")), self):
            self.journal.milk_lots.save(self._milk_lot(MilkLot("new", self.now_ms), values))

    def _change(self, values: FormValues) -> None:
        lot = self.current_row.lot
        with self.journal.unit(worded("desk.step-change-milk", farm=lot.farm), self):
            self.journal.milk_lots.save(self._milk_lot(lot, values))

    def _pour(self, values: FormValues) -> None:
        make_id = self.desk.make_id
        if make_id is not None:
            self.journal.milk.pour(make_id, id_of(self.current_row.lot), values.needed("litres"))

    def _milk_lot(self, lot: MilkLot, values: FormValues) -> MilkLot:
        day = values.instant("day")
        return replace(
            lot,
            farm=values.text("farm"),
            day_ms=self.moment(day) if day is not None or lot.id is None else lot.day_ms,
            fat_pct=values.number("fat"),
            protein_pct=values.number("protein"),
            ph=values.number("ph"),
            price=values.number("price"),
            remark=values.text("remark"),
        )


def _typed(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _farm(row: MilkRow) -> str:
    return row.lot.farm


def _day(row: MilkRow) -> str:
    return row.day


def _day_ms(row: MilkRow) -> int:
    return row.lot.day_ms


def _fat(row: MilkRow) -> str:
    return number(row.lot.fat_pct, 2)


def _protein(row: MilkRow) -> str:
    return number(row.lot.protein_pct, 2)


def _ph(row: MilkRow) -> str:
    return number(row.lot.ph, 2)


def _price(row: MilkRow) -> str:
    return number(row.lot.price, 2)


def _makes(row: MilkRow) -> str:
    return ", ".join(make.code for make, _ in row.makes)
