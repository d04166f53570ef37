"""By command: wheels live and end, their rooms have air, and what is due is said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.records import id_of
from journal.records.makes import Addition
from tests.command.conftest import Run

A, B = "HL-0001-A", "HL-0001-B"


@pytest.fixture
def aged(finished: Path, run: Run) -> Path:
    """The two wheels on a shelf, with a schedule: turned daily, oiled from day 10, tasted."""
    assert run("move", finished, "HL-0001", "Cellar", "--shelf", "top", "--place", "1",
               "--at", "2026-07-15T09:00").code == 0  # fmt: skip
    output = (
        "turn daily from 2 days until 20 days; oil every 14 days from 10 days; taste at 2 months"
    )
    assert run("wheel-care", finished, "HL-0001", output).code == 0
    return finished


def one(run: Run, *words: object) -> dict[str, object]:
    done = run(*words, "--json")
    assert done.code == 0, done
    found: dict[str, object] = done.data[0]
    return found


def test_a_wheel_is_weighed_given_in_parts_and_gone(aged: Path, run: Run, refused) -> None:
    row = one(run, "weigh", aged, A, "0.589kg", "--at", "2026-08-14T09:00")
    assert (row["weight_kg"], row["loss_pct"], row["age_days"]) == (0.589, pytest.approx(5), 31)
    assert "is 4.2 kg right? Add --sure if it is" in refused("weigh", aged, A, "4.2kg")
    output = refused("weigh", aged, A, "0.45kg", "--at", "2026-08-14T10:00")
    assert "It was 0.589 kg last time: is 0.450 kg right? Add --sure if it is" in output
    row = one(run, "gone", aged, A, "given", "--part", "1/4", "--to", "Ann", "--at", "2026-08-15")
    assert (row["weight_kg"], row["loss_pct"]) == (pytest.approx(0.44175), pytest.approx(5))
    row = one(run, "gone", aged, A, "sold", "--part", "147.25 g", "--at", "2026-08-16")
    assert row["left"] == pytest.approx(0.5)
    assert "is left: check the part" in refused("gone", aged, A, "sold", "--part", "3/4")
    row = one(run, "gone", aged, A, "eaten", "--why", "all at once", "--at", "2026-09-01")
    assert row["gone"] == "eaten: all at once"
    assert [r["code"] for r in run("wheels", aged, "--json").data] == [B]
    assert [r["code"] for r in run("wheels", aged, "--gone", "--json").data] == [B, A]
    parts = run("parts", aged, A, "--json").data
    assert [(p["kind"], p["share"], p["to"]) for p in parts] == [
        ("given", 0.25, "Ann"), ("sold", pytest.approx(0.25), ""), ("eaten", 0.5, ""),
    ]  # fmt: skip
    assert "gone" in refused("weigh", aged, A, "0.3kg", "--at", "2026-09-02")
    acts = run("history", aged, A, "--last", "1", "--json").data
    assert run("take-back", aged, acts[0]["act"]).code == 0
    assert {r["code"] for r in run("wheels", aged, "--json").data} == {A, B}


def test_care_is_given_by_shelf_late_and_on_an_earlier_day(
    aged: Path, run: Run, refused: Callable[..., str]
) -> None:
    due = run("due", aged, "--at", "2026-07-18T09:00", "--json").data
    assert [(d["code"], d["kind"], d["late_days"]) for d in due] == [(A, "turn", 2), (B, "turn", 2)]
    done = run("care", aged, "top", "turn", "--at", "2026-07-18T09:05", "--note", "by hand")
    assert "turn: 2 wheels" in done.out
    assert run("due", aged, "--at", "2026-07-18T10:00", "--json").data == []
    assert "Nothing is due on 2026-07-18" in run("due", aged, "--at", "2026-07-18T10:00").out
    assert run("care", aged, "Cellar/top", "turn", "--at", "2026-07-17T09:00").code == 0
    given = run("care", aged, A, "--json").data
    assert [(c["kind"], c["at"][:10]) for c in given if c["kind"] != "weigh"] == [
        ("turn", "2026-07-18"), ("turn", "2026-07-17"), ("move", "2026-07-15"),
    ]  # fmt: skip
    on = run("due", aged, "--on", "2026-07-24", "--at", "2026-07-18T10:00", "--json").data
    assert [(d["code"], d["kind"]) for d in on] == [
        (A, "oil"),
        (B, "oil"),
        (A, "turn"),
        (B, "turn"),
    ]
    assert "attic" in refused("care", aged, "attic", "turn")
    run("away", aged, "2026-07-19", "2026-07-26", "--note", "by the sea")
    on = run("due", aged, "--on", "2026-07-27", "--at", "2026-07-18T10:00", "--json").data
    assert [d["kind"] for d in on] == ["oil", "oil", "turn", "turn"]
    away = run("due", aged, "--on", "2026-07-24", "--at", "2026-07-18T10:00", "--json").data
    assert away == []


def test_a_wheel_is_split_and_its_pieces_go_on(aged: Path, run: Run) -> None:
    pieces = run("split", aged, A, "310g", "300g", "--at", "2026-08-14T09:00", "--json").data
    assert [(p["code"], p["weight_kg"], p["shelf"]) for p in pieces] == [
        (f"{A}1", 0.31, "top"), (f"{A}2", 0.3, "top"),
    ]  # fmt: skip
    assert [r["code"] for r in run("wheels", aged, "--json").data] == [f"{A}1", f"{A}2", B]
    halves = run("split", aged, f"{A}1", "half", "half", "--at", "2026-08-20", "--json").data
    assert [p["weight_kg"] for p in halves] == [pytest.approx(0.155)] * 2


def test_the_air_is_typed_two_bulbs_are_read_and_a_room_out_of_range_is_said(
    aged: Path, run: Run, refused: Callable[..., str]
) -> None:
    assert "There is no room called “attic”" in refused("air", aged, "attic", "--temp", "12C")
    run("room", aged, "cellar", "--temp", "12C", "--humidity", "85%", "--holds", "12",
        "--within-humidity", "4")  # fmt: skip
    output = run("air", aged, "Cellar", "--temp", "12C", "--humidity", "84%", "--json",
               "--at", "2026-07-20T08:00").data  # fmt: skip
    assert (output["temp_c"], output["humidity_pct"], output["out"]) == (12.0, 84.0, None)
    output = run("air", aged, "Cellar", "--dry", "12C", "--wet", "11C", "--json",
               "--at", "2026-07-20T09:00").data  # fmt: skip
    assert output["humidity_pct"] == pytest.approx(88.93, abs=0.1)  # ASHRAE 2017, by its table
    for hour in (10, 11):
        words = ("--temp", "12C", "--humidity", "71%", "--at", f"2026-07-20T{hour}:00")
        announced = run("air", aged, "Cellar", *words)
    assert "71 %, too dry since" in announced.out
    assert "allowed 81 to 89 %" in announced.out
    announced = run("air", aged, "Cellar", "--at", "2026-07-20T12:00", "--json").data
    assert announced["days_outside"] == ["2026-07-20"]
    assert "Give both bulbs" in refused("air", aged, "Cellar", "--dry", "12C")


def test_a_loggers_file_is_read_once_and_a_hygrometer_is_checked(
    aged: Path, run: Run, tmp_path: Path
) -> None:
    rows = [f"2026-07-{20 + n // 24} {n % 24:02}:00,{11 + n % 3},{78 + n % 2}" for n in range(48)]
    log = tmp_path / "cellar.csv"
    log.write_text("Time,Temperature (°C),Humidity (%)\n" + "\n".join(rows) + "\n")
    first = run("air", aged, "Cellar", "--csv", log, "--json").data
    assert (first["read"], first["kept"], first["known"]) == (48, 48, 0)
    again = run("air", aged, "Cellar", "--csv", log, "--json").data
    assert (again["kept"], again["known"]) == (0, 48)
    check = run("air", aged, "Cellar", "--salt", "sodium chloride=77%", "--temp", "20C",
                "--at", "2026-07-21T00:00", "--json").data  # fmt: skip
    assert check["offset_pct"] == pytest.approx(75.5 - 77, abs=0.05)  # Greenspan 1977 at 20 °C
    with Journal.open(aged, read_only=True) as journal:
        room = journal.shelves.room_named("cellar")
        humid = journal.air.trace(room.id or 0).humidity_pct.tolist()
    assert humid[:2] == [78.0, 79.0]
    assert humid[30:32] == [pytest.approx(76.5), pytest.approx(77.5)]


def test_the_calendar_follows_what_is_done(aged: Path, run: Run, tmp_path: Path, refused) -> None:
    """Also what is due today, and by the clock of the machine: an act may be told late."""
    out = tmp_path / "wheels.ics"
    run("wheel-care", aged, "HL-0001", "turn daily from 2 days")
    done = run("calendar", aged, out, "--hour", "07:30", "--days", "3", "--json").data
    assert (done["events"], done["cancelled"], done["changed"]) == (4, 0, True)
    first = out.read_bytes()
    assert first.count(b"SUMMARY:Turn 2 wheels\\, Cellar") == 4
    assert first.count(b"T073000") >= 4
    run("gone", aged, A, "eaten", "--at", "2026-07-16T11:00")
    assert out.read_bytes().count(b"SUMMARY:Turn HL-0001-B\\, Cellar") >= 4
    assert "is no hour" in refused("calendar", aged, out, "--hour", "half past")


def test_what_to_open_and_when_to_make_for_a_day(aged: Path, run: Run, refused) -> None:
    run("wheel-care", aged, A, "turn weekly from 2 weeks; eat from 3 months")
    at = ("--at", "2026-09-01T10:00", "--json")
    ready = {row["code"]: row for row in run("ready", aged, *at).data}
    assert (ready[A]["least"], ready[B]["least"]) == ("2026-10-13", None)
    assert ready[A]["degree_days"] == pytest.approx(49 * 12, abs=12)
    assert (ready[A]["from"], ready[A]["raw"]) == (None, None)
    first = run("open", aged, "2026-09-12", "--guests", "4", *at).data
    assert [(row["code"], row["against"]) for row in first] == [(B, None), (A, "too young")]
    many = run("open", aged, "2026-12-24", "--guests", "60", *at).data
    assert [row["against"] for row in many] == ["too small for 60 guests"] * 2
    run("room", aged, "Cellar", "--holds", "3")
    words = ("make-for", aged, "cheddar type", "2027-12-24", "2027-12-24", "--vat-days", "sat,sun")
    made = run(*words, *at).data
    assert len({row["make_on"] for row in made}) == 2  # the vat makes one a day
    full = run(*words, "--room", "Cellar", "--wheels", "2", *at).data
    assert [(row["make_on"], row["why"]) for row in full] == [(None, "Cellar is full")] * 2
    first, last = sorted(row["make_on"] for row in made)
    run("away", aged, first, last, "--note", "abroad")
    moved = run(*words, *at).data
    assert len({row["make_on"] for row in moved}) == 2
    for row in moved:
        assert not first <= row["make_on"] <= last
        assert date.fromisoformat(row["make_on"]).weekday() >= 5
    assert "is no weekday" in refused("make-for", aged, "cheddar type", "2027-12-24",
                                      "--vat-days", "someday")  # fmt: skip


def test_raw_milk_names_its_sixty_days_and_defers_to_the_local_rules(aged: Path, run: Run) -> None:
    with Journal.open(aged) as journal:
        make = journal.makes.by_code("HL-0001")
        journal.makes.save(replace(make, milk=replace(make.milk, treatment="raw")))
    run("air", aged, "Cellar", "--temp", "1.2C", "--at", "2026-08-02T08:00")
    row = run("ready", aged, A, "--at", "2026-09-01T10:00", "--json").data[0]
    assert row["least"] == "2026-09-13"  # 60 days and the cold one
    assert "48 of 60 days at not less than 1.7 °C" in row["raw"]
    assert "local codes decide" in row["raw"]


def test_what_was_noted_is_corrected_a_week_later(aged: Path, run: Run, refused) -> None:
    run("care", aged, "top", "turn", "--at", "2026-07-17T09:00")
    run("weigh", aged, A, "0.6kg", "--at", "2026-08-14T09:00")
    run("gone", aged, A, "eaten", "--at", "2026-08-20T09:00")
    given = {row["id"]: row for row in run("care", aged, A, "--json").data}
    care = next(key for key, row in given.items() if row["kind"] == "turn")
    weight = next(k for k, row in given.items() if row["kind"] == "weigh" and "08-14" in row["at"])
    assert run("correct", aged, care, "--at", "2026-07-16T09:00", "--kind", "rub").code == 0
    assert run("correct", aged, weight, "--weight", "0.58kg").code == 0
    part = run("parts", aged, A, "--json").data[0]["id"]
    assert run("correct", aged, part, "--part", "1/2", "--to", "Bo").code == 0
    row = one(run, "wheels", aged, A, "--at", "2026-08-27T09:00")
    assert (row["gone"], row["weight_kg"], row["left"]) == (None, pytest.approx(0.29), 0.5)
    kinds = [(r["kind"], r["at"][:10]) for r in run("care", aged, A, "--json").data]
    assert ("rub", "2026-07-16") in kinds
    assert ("turn", "2026-07-17") not in kinds
    assert run("correct", aged, part, "--remove").code == 0
    assert one(run, "wheels", aged, A, "--at", "2026-08-27T09:00")["left"] == 1.0
    assert "has no weight" in refused("correct", aged, care, "--weight", "1kg")
    run("move", aged, B, "Attic", "--at", "2026-08-01T09:00")
    moved = run("care", aged, B, "--json").data[0]["id"]
    assert run("correct", aged, moved, "--room", "Loft").code == 0
    assert one(run, "wheels", aged, B)["room"] == "Loft"
    assert "a move has a room" in refused("correct", aged, care, "--room", "Loft")
    assert run("correct", aged, moved, "--remove").code == 0
    assert one(run, "wheels", aged, B)["room"] == "Cellar"
    assert "cannot be corrected here" in refused("correct", aged, "plan-1", "--remove")


def test_what_is_due_says_of_a_wheel_what_wheels_does(aged: Path, run: Run) -> None:
    run("weigh", aged, A, "0.589kg", "--at", "2026-07-16T09:00")
    run("gone", aged, A, "given", "--part", "1/4", "--at", "2026-07-17T09:00")
    run("away", aged, "2026-07-19", "2026-07-20")
    run("away", aged, "2026-08-19")
    at = ("--at", "2026-07-18T09:00", "--json")
    row = one(run, "due", aged, *at)
    same = one(run, "wheels", aged, A, *at)
    for key in ("code", "room", "shelf", "weight_kg", "loss_pct", "age_days", "gone", "verdict"):
        assert row[key] == same[key]
    assert (row["weight_kg"], row["loss_pct"]) == (pytest.approx(0.44175), pytest.approx(5))
    assert len(run("parts", aged, A, *at).data) == 1
    assert run("parts", aged, A, "--at", "2026-07-17T08:00", "--json").data == []
    ahead = run("away", aged, "--at", "2026-07-21", "--json").data
    assert [away["first"] for away in ahead] == ["2026-08-19"]
    assert len(run("away", aged, "--at", "2026-07-20", "--json").data) == 2


def test_what_a_wheel_is_made_of_follows_its_weight(aged: Path, run: Run) -> None:
    assert one(run, "wheels", aged, A)["moisture_pct"] is None  # nobody said the milk's fat
    with Journal.open(aged) as journal:
        make = journal.makes.by_code("HL-0001")
        milk = replace(make.milk, fat_pct=3.75, protein_pct=3.1)
        journal.makes.save(replace(make, milk=milk))
        journal.additions.save(Addition(id_of(make), 0, "salt", "salt", 33.0, "g", make.started_ms))
    at = ("--at", "2026-08-14T10:00", "--json")
    green = one(run, "wheels", aged, A, *at)
    run("weigh", aged, A, "0.589kg", "--at", "2026-08-14T09:00")
    dried = one(run, "wheels", aged, A, *at)
    assert dried["moisture_pct"] == pytest.approx((green["moisture_pct"] - 5) / 0.95)
    assert dried["s_m_pct"] > green["s_m_pct"]
    assert dried["fdm_pct"] == pytest.approx(green["fdm_pct"])
    for key, (low, high) in dried["ranges_80"].items():
        assert low < dried[key] < high
    assert "moisture_pct" not in one(run, "wheels", aged, *at)
    full = {row["code"]: row for row in run("wheels", aged, "--full", *at).data}
    assert full[A] == dried
    assert full[B]["moisture_pct"] == pytest.approx(green["moisture_pct"])  # it was not weighed
    assert "MNFS" in run("wheels", aged, A).out


def test_wheels_are_born_with_their_size(begun: Path, run: Run, refused) -> None:
    words = ("finish", begun, "latest", "--wheel", "620g", "--wheel", "0.58kg")
    assert "one for each of 2 wheels" in refused(
        *words, "--size", "16 x 8 cm", "--size", "15x8cm", "--size", "14x8cm"
    )
    assert run(*words, "--size", "16 x 8 cm", "--at", "2026-07-15T08:00").code == 0
    with Journal.open(begun, read_only=True) as journal:
        sizes = [(wheel.diameter_mm, wheel.height_mm) for wheel in journal.wheels.all()]
    assert sizes == [(160.0, 80.0)] * 2
