"""Fifteen makes on paper and the first one here: one finding and one next make, whichever way the
paper was kept, by the command and by the window."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt

from journal.background import State
from journal.command import main
from journal.desk.bring_in import BringInMakes
from journal.exchange.past_keeping import save_past
from journal.exchange.past_known import known_columns
from journal.exchange.past_makes import read_past
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Addition, Milk
from journal.records.plan_text import builtin_plans
from journal.records.tastings import NOBODY, Assessor, Sample, Score, Tasting
from journal.reports.study import look_at

ZONE = "Europe/London"
PAPER = 15
HERE = from_iso("2026-03-02T08:00", ZONE)
START = dt.date(2025, 2, 1)


@dataclass(frozen=True)
class Kept:
    """A make as it was, before anybody wrote it down."""

    day: dt.date
    cook_c: float
    salt_pct: float
    rennet_tsp: str
    starter: str
    overall: float


def kept_on_paper() -> list[Kept]:
    """The hotter the cook, the better: 0.8 points a degree; a starter and salt do nothing."""
    draw = np.random.default_rng(8)
    heats = draw.permutation(PAPER)
    return [
        Kept(
            START + dt.timedelta(weeks=2 * i),
            round(37 + 0.25 * float(heats[i]), 1),
            round(1.7 + 0.1 * float(draw.integers(5)), 1),
            ("½ tsp", "1 1/2 tsp", "¼ tsp", "1 tsp")[i % 4],
            ("moon", "star")[int(draw.integers(2))],
            round(5 + 0.8 * 0.25 * float(heats[i]) + 0.2 * float(draw.normal()), 1),
        )
        for i in range(PAPER)
    ]


def comma(value: float) -> str:
    return f"{value:g}".replace(".", ",")


def german(folder: Path) -> Path:
    """Semicolons and decimal commas, German names, wheels eaten or there."""
    lines = ["Datum;Charge;Milch (l);Brenntemperatur (°C);Salz %;Lab;Gesamtnote;status;Notizen"]
    lines += [
        f"{one.day:%d.%m.%Y};P{i};{comma(11.5)};{comma(one.cook_c)};{comma(one.salt_pct)};"
        f"{one.rennet_tsp};{comma(one.overall)};{'ageing' if i > 12 else 'eaten'};wie immer"
        for i, one in enumerate(kept_on_paper())
    ]
    path = folder / "käse.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def sheet(folder: Path) -> Path:
    """A spreadsheet with real dates, gallons and degrees Fahrenheit, codes and the day eaten."""
    import openpyxl

    book = openpyxl.Workbook()
    book.active.append(["My cheeses"])
    book.active.append(
        ["Date", "Code", "milk (gal)", "Cook temp F", "Salt", "rennet", "eaten on", "Overall"]
    )
    for i, one in enumerate(kept_on_paper()):
        book.active.append([
            one.day, f"P-{i:02d}", 3, round(one.cook_c * 1.8 + 32, 2), one.salt_pct / 100,
            one.rennet_tsp, one.day + dt.timedelta(days=90) if i <= 12 else None, one.overall,
        ])  # fmt: skip
        book.active.cell(i + 3, 5).number_format = "0.0%"
    path = folder / "cheeses.xlsx"
    book.save(path)
    return path


def words(folder: Path) -> Path:
    """Commas, a starter in words, and two tasters in a column of names: two rows a make."""
    lines = [
        "make,made,tasted,starter,cook temp C,salt %,rennet,taster,overall,flavour,still there"
    ]
    for i, one in enumerate(kept_on_paper()):
        tasted = one.day + dt.timedelta(days=60)
        lines += [
            f"P{i},{one.day},{tasted},{one.starter},{one.cook_c:g},{one.salt_pct:g},"
            f"{one.rennet_tsp},{who},{one.overall + off:g},{7 + off:g},{'yes' if i > 12 else 'no'}"
            for who, off in (("Ann", 0.5), ("Ben", -0.5))
        ]
    path = folder / "table.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def by_command(path: Path, table: Path, capsys) -> None:
    assert main(["import-makes", str(path), str(table)]) == 0
    capsys.readouterr()


@pytest.fixture
def by_window(qtbot, window_on):
    def imported(path: Path, table: Path, _capsys) -> None:
        with Journal.open(path) as journal:
            window = window_on(journal, place="today", clock=lambda: HERE)
            dialog = BringInMakes(journal, str(table), window)
            dialog.open()
            qtbot.waitUntil(lambda: not dialog.work.busy)
            assert "Read as this journal's own: " in dialog.questions.text()
            assert "as cook temperature (in °" in dialog.questions.text()
            assert dialog.save.isEnabled(), dialog.fault.text()
            qtbot.keyClick(dialog, Qt.Key.Key_Return)
            assert "15 makes imported" in dialog.account.text()
            qtbot.keyClick(dialog, Qt.Key.Key_Return)
            window.close()

    return imported


def first_one_here(journal: Journal) -> None:
    """A make of this journal, cooked hot, tasted by Ann."""
    plan = next(plan for plan in builtin_plans() if plan.name == "cheddar type")
    with journal.unit("make"):
        make = journal.makes.begin(plan, Milk(12.0), HERE)
        runs = journal.runs.where(make_id=make.id)
        at = HERE
        for run, stage in zip(sorted(runs, key=lambda one: one.position), plan.stages, strict=True):
            journal.runs.save(
                type(run)(**{**vars(run), "began_ms": at, "ended_ms": at + 30 * MINUTE_MS})
            )
            if stage.kind == "cook":
                times = at + np.arange(30) * MINUTE_MS
                journal.readings.add_many(id_of(make), "milk-temp", times, np.full(30, 40.5), "x")
            at += 30 * MINUTE_MS
        journal.additions.save(
            Addition(id_of(make), 1, "rennet", "rennet", 5.0, "ml", HERE + 60 * MINUTE_MS)
        )
        journal.makes.finish(id_of(make), [1.3], at)
        wheel = journal.wheels.where(make_id=make.id)[0]
        tasting = journal.tastings.save(
            Tasting(HERE + 90 * DAY_MS, ZONE, lifted_ms=HERE + 90 * DAY_MS)
        )
        sample = journal.samples.save(Sample(id_of(tasting), id_of(wheel)))
        ann = next(
            (one for one in journal.assessors.all() if one.name == "Ann"), None
        ) or journal.assessors.save(Assessor("Ann"))
        journal.scores.save(Score(id_of(sample), id_of(ann), "overall", 7.8))


@pytest.mark.parametrize("keep", [german, sheet, words])
@pytest.mark.parametrize("way", ["command", "window"])
def test_paper_and_the_first_one_here_give_one_finding_and_one_next_make(
    tmp_path, capsys, by_window, keep, way
):
    path = tmp_path / "kitchen.vatside"
    Journal.create(path, zone=ZONE).close()
    table = keep(tmp_path)
    (by_command if way == "command" else by_window)(path, table, capsys)
    with Journal.open(path) as journal:
        as_they_were(journal, keep)
        first_one_here(journal)
        answer = look_at(journal, "overall", State(lambda _share, _words: None))
    found = answer.study.finding("cook temperature")
    assert answer.study.makes == 16
    assert found.known == 16
    assert found.evidence == "clear"
    assert found.low95 < 0.8 < found.high95
    assert answer.study.finding("rennet dose").known == 16
    assert answer.next_make.why is None
    assert answer.next_make.proposals
    start = answer.next_make.start
    assert start is not None
    assert start.plan.name == "cheddar type"  # of the one make here, not of the paper's bare plan
    assert main(["findings", str(path), "--score", "overall", "--json"]) == 0
    output = json.loads(capsys.readouterr().out)
    output = [one["variable"] for one in output["findings"] if one["evidence"] == "clear"]
    assert output == ["cook temperature"]


def as_they_were(journal: Journal, keep) -> None:
    """Dates, codes, wheels, people and milk are those of the paper."""
    rows = sorted(journal.makes.rows(), key=lambda row: row.started_ms)
    makes = [journal.makes.get(row.id) for row in rows]
    assert [make.started_ms for make in makes] == [
        from_iso(one.day.isoformat(), ZONE) for one in kept_on_paper()
    ]
    there = sorted(life.wheel.code for life in journal.care_tasks.lives())
    assert there == sorted(f"{make.code}-A" for make in makes[13:])
    people = {one.name for one in journal.assessors.all()}
    assert people == ({"Ann", "Ben"} if keep is words else {NOBODY})
    if keep is sheet:
        assert [make.code for make in makes] == [f"P-{i:02d}" for i in range(PAPER)]
        wheel = journal.wheels.where(make_id=makes[0].id)[0]
        eaten = START + dt.timedelta(days=90)
        assert wheel.gone_ms == from_iso(eaten.isoformat(), ZONE)
        assert wheel.gone_why == "eaten"
        assert makes[0].milk.litres == pytest.approx(3 * 3.785411784)
    if keep is words:
        attributes = {score.attribute for score in journal.scores.all()}
        assert attributes == {"overall", "flavour"}
        assert len(journal.scores.all()) == 4 * PAPER
        assert len(journal.wheels.all()) == PAPER
    spoons = [one.amount for one in journal.additions.all() if one.kind == "rennet"][:4]
    assert spoons == pytest.approx([2.5, 7.5, 1.25, 5.0])


def test_a_second_import_updates_and_undo_takes_it_back(tmp_path, capsys):
    path, table = tmp_path / "kitchen.vatside", german(tmp_path)
    with Journal.create(path, zone=ZONE) as journal:
        assert save_past(journal, read_past(table, zone=ZONE)).kept == PAPER
        journal.undo()
        assert journal.makes.all() == journal.assessors.all() == journal.plans.latest() == []
        journal.redo()
    text = table.read_text(encoding="utf-8")
    cells = text.splitlines()[3].split(";")
    cells[3], cells[6], cells[7] = "45,5", "9", "ageing"
    more = "30.11.2025;P15;11,5;38;1,9;1 tsp;7;ageing;neu"
    lines = text.splitlines()
    table.write_text("\n".join([*lines[:3], ";".join(cells), *lines[4:], more]), encoding="utf-8")
    assert main(["import-makes", str(path), str(table), "--preview", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["questions"] == []  # asked once, and remembered
    with Journal.open(path) as journal:
        again = read_past(table, zone=ZONE, known=known_columns(journal))
        report = save_past(journal, again)
        assert (report.kept, report.updated, report.skipped) == (1, 1, 14)
        changed = next(one for one in journal.makes.all() if one.name == "P2")
        assert as_imported(journal, changed) == (45.5, [9.0], None)
        journal.undo()
        assert len(journal.makes.all()) == 15
        heat, scores, gone_ms = as_imported(journal, changed)
        assert heat < 42
        assert scores != [9.0]
        assert gone_ms is not None
        journal.redo()
    assert main(["import-makes", str(path), str(table), "--json"]) == 0
    output = json.loads(capsys.readouterr().out)
    assert (output["kept"], output["updated"], output["skipped"]) == (0, 0, 16)


def as_imported(journal: Journal, make) -> tuple[float, list[float], int | None]:
    """The cook temperature, the scores and when the wheel went."""
    whole = journal.whole(id_of(make))
    heat = {one.name: one.value for one in whole.entered}["cook temperature"]
    return heat, [score.value for score in whole.scores], whole.wheels[0].gone_ms


def test_what_was_chosen_is_remembered_with_the_journal(tmp_path, capsys):
    path, table = tmp_path / "kitchen.vatside", tmp_path / "t.csv"
    table.write_text("date,Cook temp C,x,overall\n2025-01-01,38,1,7\n2025-02-01,39,2,8\n")
    Journal.create(path, zone=ZONE).close()
    assert main(["import-makes", str(path), str(table), "--map", "x=skip",
                 "--map", "Cook temp C=pan heat"]) == 0  # fmt: skip
    table.write_text("overall,x,Cook temp C,date\n6,1,40,2025-03-01\n7,2,39,2025-04-01\n")
    capsys.readouterr()
    assert main(["import-makes", str(path), str(table), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["questions"] == []
    with Journal.open(path) as journal:
        assert {one.name for one in journal.entered.all()} == {"pan heat"}
        assert len(journal.entered.all()) == 4
