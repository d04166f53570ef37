"""Milk by lot at the command line: whose, its tests and price, the makes of it, what they cost."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

from journal.command.answer import AnswerColumn, CommandAnswer, Table, Value, answer
from journal.command.error import CommandError
from journal.command.parser import FILE, CommandOption, command
from journal.command.values import amount, day_of, instant, to_read, to_write
from journal.records import id_of
from journal.records.instants import local, now_ms
from journal.records.milk_lots import MilkLot, cost_of
from journal.wording import worded
from journal.wording.numbers import short

if TYPE_CHECKING:
    from journal.keeping import Journal

_TESTS = (
    CommandOption("--fat", "its fat, like 3.8 %%", "PERCENT"),
    CommandOption("--protein", "its protein, like 3.3 %%", "PERCENT"),
    CommandOption("--ph", "its pH", "PH"),
    CommandOption("--price", "what a litre costs, in your money", "NUMBER"),
    CommandOption("--note", "a few words on it", "TEXT"),
)


@command("milk", "list the milk by lot: whose, its tests, its price, the makes of it", FILE)
def _milk(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        lots = sorted(journal.milk_lots.all(), key=lambda lot: -lot.day_ms)
        return _table(journal).answer(lots, worded("command.no-milk-by-lot"))


@command(
    "milk-add",
    "save a lot of milk, or change one that is named by its number",
    FILE,
    CommandOption("farm", "whose it is, in your words; or lot-3 to change that one", "FARM"),
    CommandOption("--day", "when it was milked or bought; today if left out", "DAY"),
    *_TESTS,
)
def _add(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        day = instant(args.day, journal.zone) if args.day else None
        if args.farm.startswith("lot-"):
            lot = _lot(journal, args.farm)
        else:
            lot = MilkLot(args.farm, now_ms() if day is None else day)
        saved = journal.milk_lots.save(
            replace(
                lot,
                day_ms=lot.day_ms if day is None else day,
                fat_pct=_number(args.fat, "percent", lot.fat_pct),
                protein_pct=_number(args.protein, "percent", lot.protein_pct),
                ph=_number(args.ph, "ph", lot.ph),
                price=_number(args.price, "number", lot.price),
                remark=lot.remark if args.note is None else args.note,
            )
        )
        return answer("command.milk-saved", id=f"lot-{saved.id}", farm=saved.farm)


@command(
    "milk-use",
    "say which lot of milk went into a make; its farm and tests become those of the make",
    FILE,
    CommandOption("make", "the make's code, or latest", "MAKE"),
    CommandOption("lot", "the lot's number in “milk”, like lot-3", "LOT"),
    CommandOption("--litres", "how much of it; all milk of the make if left out", "VOLUME"),
)
def _use(args: argparse.Namespace) -> CommandAnswer:
    with to_write(args.file) as journal:
        make, lot = journal.makes.by_code(args.make), _lot(journal, args.lot)
        litres = amount(args.litres, "volume") if args.litres else None
        made = journal.milk.pour(id_of(make), id_of(lot), litres)
        return answer(
            "command.of-milk-of", code=made.code, farm=made.milk.source,
            fat_pct=made.milk.fat_pct, protein_pct=made.milk.protein_pct,
        )  # fmt: skip


@command(
    "milk-cost",
    "say what the milk of a make cost, and a kilogram of its cheese",
    FILE,
    CommandOption("make", "the make's code, or latest", "MAKE"),
)
def _cost(args: argparse.Namespace) -> CommandAnswer:
    with to_read(args.file) as journal:
        make = journal.makes.by_code(args.make)
        whole = cost_of(make.milk, journal.milk.of(id_of(make)))
        if whole is None:
            raise CommandError("command.milk-without-price", code=make.code)
        per_kg = per_kg_of(journal, id_of(make), whole)
        each = Value(per_kg, "–" if per_kg is None else short(per_kg, 2))
        return answer(
            "command.milk-cost",
            code=make.code, cost=Value(whole, short(whole, 2)), per_kg=each,
        )  # fmt: skip


def per_kg_of(journal: Journal, make_id: int, whole: float) -> float | None:
    """The price of the milk in a kg of green cheese; None while nobody weighed it."""
    green = [w.green_weight_kg for w in journal.wheels.where(make_id=make_id)]
    known = [kg for kg in green if kg is not None]
    return whole / sum(known) if known and len(known) == len(green) else None


def _lot(journal: Journal, name: str) -> MilkLot:
    number = name.removeprefix("lot-")
    found: list[MilkLot] = []
    if number.isdecimal():
        found = journal.milk_lots.where(id=int(number))
    if not found:
        raise CommandError("command.no-such-lot", name=name)
    return found[0]


def _number(text: str | None, quantity: str, before: float | None) -> float | None:
    return before if text is None else amount(text, quantity)


def _table(journal: Journal) -> Table[MilkLot]:
    def made(lot: MilkLot) -> Value:
        codes = [make.code for make, _ in journal.milk.makes_of(id_of(lot))]
        return Value(codes, ", ".join(codes))

    return Table(
        AnswerColumn("id", lambda lot: f"lot-{lot.id}", ""),
        AnswerColumn("farm", lambda lot: lot.farm, "farm"),
        AnswerColumn("day", lambda lot: day_of(local(lot.day_ms, journal.zone).date()), "day"),
        AnswerColumn("fat_pct", lambda lot: lot.fat_pct, "fat-pct"),
        AnswerColumn("protein_pct", lambda lot: lot.protein_pct, "protein-pct"),
        AnswerColumn("ph", lambda lot: lot.ph, "pH"),
        AnswerColumn("price", lambda lot: lot.price, "a litre"),
        AnswerColumn("makes", made, "makes"),
        AnswerColumn("note", lambda lot: lot.remark, "note"),
    )


COMMANDS = (_milk, _add, _use, _cost)
