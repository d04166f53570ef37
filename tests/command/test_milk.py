"""Milk by lot: by command in processes of their own, carried to makes, Findings and the cost."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from journal.command import main
from journal.findings.readers import MAKE_VARIABLES
from journal.keeping import Journal, KeepingError
from journal.records import RecordError
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.milk_lots import MilkLot, cost_of, mean_of, milk_of
from tests.desk.conftest import cheddar_like

START = from_iso("2026-03-14T09:00", "Europe/London")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A journal with a make of 12 L, finished with two wheels of 1.2 kg together."""
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        make = journal.makes.begin(cheddar_like(), Milk(12.0), START)
        journal.makes.finish(make.id, [0.7, 0.5], START + 36_000_000)
    return path


def run(capsys, *words: object) -> dict:
    assert main([*map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def read(journal: Journal, name: str) -> float:
    """A variable of the first make, as Findings reads it."""
    one = next(one for one in MAKE_VARIABLES if one.variable.name == name)
    return one.read(journal.whole(journal.makes.all()[0].id))


def test_two_farms_in_a_make_by_command_and_what_a_kg_costs(file, capsys):
    first = run(capsys, "milk-add", file, "Lower Mill", "--day", "2026-03-12", "--fat", "4 %",
                "--protein", "3.4 %", "--ph", "6.7", "--price", "1.2")["id"]  # fmt: skip
    second = run(capsys, "milk-add", file, "the shop", "--day", "2026-03-13", "--fat", "3.4 %",
                 "--protein", "3.1 %", "--ph", "6.64", "--price", "0.9")["id"]  # fmt: skip
    run(capsys, "milk-use", file, "latest", first, "--litres", "8 L")
    made = run(capsys, "milk-use", file, "latest", second)
    assert made["farm"] == "Lower Mill, the shop"
    assert made["fat_pct"] == pytest.approx((8 * 4 + 4 * 3.4) / 12)
    assert made["protein_pct"] == pytest.approx(3.3)
    cost = run(capsys, "milk-cost", file, "latest")
    assert cost["cost"] == pytest.approx(8 * 1.2 + 4 * 0.9)
    assert cost["per_kg"] == pytest.approx(11.0)
    lots = run(capsys, "milk", file)
    assert [row["makes"] for row in lots] == [["HL-0001"]] * 2
    assert sorted(row["day"] for row in lots) == ["2026-03-12", "2026-03-13"]
    with Journal.open(file) as journal:
        assert read(journal, "milk fat") == pytest.approx(3.8)
        assert read(journal, "milk pH as it came") == pytest.approx(6.68)
        assert read(journal, "age of the milk") == pytest.approx((8 * 2 + 4 * 1) / 12, abs=0.6)
        assert journal.makes.all()[0].milk.source == "Lower Mill, the shop"


def test_what_was_poured_is_taken_back_from_the_history_a_week_later(file, capsys):
    lot = run(capsys, "milk-add", file, "Lower Mill", "--fat", "4 %", "--protein", "3.4 %")["id"]
    run(capsys, "milk-use", file, "latest", lot)
    with Journal.open(file) as later:
        act = later.history.all(1)[0].act
        later.take_back(act.id)
        make = later.makes.all()[0]
        assert (make.milk.source, make.milk.fat_pct) == ("", None)
        assert later.milk.of(make.id) == []
        assert [one.farm for one in later.milk_lots.all()] == ["Lower Mill"]


def test_the_bin_and_another_lot_of_the_same_make(file):
    with Journal.open(file) as journal:
        make = journal.makes.all()[0]
        lot = journal.milk_lots.save(MilkLot("Lower Mill", START - DAY_MS, price=1.0))
        with pytest.raises(KeepingError) as refused:
            journal.milk.pour(make.id, lot.id, 13.0)
        assert refused.value.values["left"] == 12.0
        journal.milk.pour(make.id, lot.id, 5.0)
        journal.milk.pour(make.id, lot.id, 6.0)  # said anew, not added
        assert [litres for _, litres in journal.milk.of(make.id)] == [6.0]
        journal.milk_lots.remove(lot.id)
        assert journal.milk_lots.all() == []
        journal.undo()
        assert [one.farm for one in journal.milk_lots.all()] == ["Lower Mill"]


def test_a_test_counts_only_where_every_lot_has_it():
    one, other = MilkLot("a", 0, fat_pct=4.0, price=1.0), MilkLot("b", 0, price=2.0)
    assert mean_of([(one, 3), (other, 1)], lambda lot: lot.fat_pct) is None
    milk = Milk(4.0)
    assert cost_of(milk, [(one, 3), (other, 1)]) == 5.0
    assert cost_of(milk, [(one, 3), (MilkLot("c", 0), 1)]) is None
    assert milk_of(Milk(4.0, fat_pct=3.9), [(one, 3), (other, 1)]).fat_pct == 3.9


def test_a_part_of_the_milk_has_neither_the_cost_nor_the_tests_of_all(file, capsys):
    """A third of it is of a lot: what the rest cost and how fat it was nobody said."""
    lot = run(capsys, "milk-add", file, "Lower Mill", "--fat", "5 %", "--price", "1.2")["id"]
    run(capsys, "milk-use", file, "latest", lot, "--litres", "4 l")
    assert main(["milk-cost", str(file), "latest"]) == 2
    assert "Not all milk of HL-0001 is of a lot that has a price" in capsys.readouterr().err
    with Journal.open(file) as journal:
        assert journal.makes.all()[0].milk.fat_pct is None
        assert journal.makes.all()[0].milk.source == "Lower Mill"
        assert np.isnan(read(journal, "price of the milk"))
    run(capsys, "milk-use", file, "latest", lot)
    assert run(capsys, "milk-cost", file, "latest")["cost"] == pytest.approx(12 * 1.2)
    with Journal.open(file) as journal:
        assert journal.makes.all()[0].milk.fat_pct == 5.0
        assert read(journal, "price of the milk") == pytest.approx(1.2)


@pytest.mark.parametrize(
    "wrong", [{"farm": " "}, {"ph": 2.0}, {"price": -1.0}, {"fat_pct": 40.0}, {"protein_pct": 30.0}]
)
def test_what_no_milk_is_is_refused(wrong):
    with pytest.raises(RecordError):
        MilkLot(**{"farm": "a", "day_ms": 0, **wrong})


def test_a_lot_that_is_not_there_and_a_make_without_prices(file, capsys):
    assert main(["milk-use", str(file), "latest", "lot-9"]) == 2
    assert "There is no lot lot-9" in capsys.readouterr().err
    assert main(["milk-cost", str(file), "latest"]) == 2
    assert "has a price" in capsys.readouterr().err
