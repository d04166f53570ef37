"""What a wheel went through in Findings: the air of its rooms, in a kitchen in which the humidity
matters and wheels were moved half way, and what it was made of when it was tasted."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from journal.command import main
from journal.findings import CLEAR, study
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.instants import DAY_MS
from journal.records.makes import Addition, Milk
from journal.records.plans import Plan, Stage
from journal.records.wheels import AirReading, Removal, Room
from journal.reports.make_up import make_up_of
from journal.wording import text_of

START = 1_700_000_000_000
PLAN = Plan("hard", (Stage("set", 40.0),))
MAKES, AGE = 24, 90.0
DAMP, DRY = 88.0, 74.0
A_POINT = 3.0  # % of humidity for a point of the score


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[float]]:
    """Each wheel goes from the cellar to the larder on a day of its own: where it stands now says
    nothing, how long it stood where says all."""
    path, rng = tmp_path_factory.mktemp("air") / "air.vatside", np.random.default_rng(5)
    with Journal.create(path, letters="HL", zone="UTC") as journal:
        cellar, larder = (
            journal.rooms.save(Room(name, 12.0, pct, within_pct=4.0))
            for name, pct in (("Cellar", DAMP), ("Larder", DRY))
        )
        days = np.arange(0, MAKES * 5 + AGE, 4.0)
        for room, pct in ((cellar, DAMP), (larder, DRY)):
            journal.airs.save_many(
                AirReading(room.id or 0, START + round(day * DAY_MS), 12.0, pct) for day in days
            )
        true = []
        for number in range(MAKES):
            begun = START + number * 5 * DAY_MS
            make = journal.makes.begin(PLAN, Milk(10.0), begun)
            (wheel,) = journal.makes.finish(make.id or 0, [1.0], begun + DAY_MS // 2)
            moved = float(rng.uniform(5, 85))
            journal.shelves.move([wheel], cellar, begun)
            journal.shelves.move([wheel], larder, begun + round(moved * DAY_MS))
            true.append((moved * DAMP + (AGE - moved) * DRY) / AGE)
            score = 6 + (true[-1] - (DAMP + DRY) / 2) / A_POINT + float(rng.normal(0, 0.3))
            card = ScoredSample({"overall": float(np.clip(round(2 * score) / 2, 0, 10))})
            journal.sessions.give(
                OpenServing(wheel.id or 0, "Ann", begun + round(AGE * DAY_MS)), card
            )
    return path, true


def test_the_humidity_of_all_its_rooms_is_the_finding(kitchen: tuple[Path, list[float]]) -> None:
    path, true = kitchen
    with Journal.open(path, read_only=True) as journal:
        table = score_table(journal.wholes(), "overall")
    column = table.x[:, table.position("room humidity")]
    assert column == pytest.approx(true, abs=0.25)
    found = study(table, permutations=199).finding("room humidity")
    assert found.evidence == CLEAR
    assert found.low95 <= 3.0 / A_POINT <= found.high95


def test_it_is_named_by_the_command(
    kitchen: tuple[Path, list[float]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["findings", str(kitchen[0]), "--score", "overall", "--json"]) == 0
    first = json.loads(capsys.readouterr().out)["findings"][0]
    assert (first["variable"], first["evidence"]) == ("room humidity", CLEAR)


def test_sums_over_its_life_are_looked_at_where_they_are_named(
    kitchen: tuple[Path, list[float]],
) -> None:
    """Every wheel was tasted at one age and temperature: degree-days say nothing here."""
    with Journal.open(kitchen[0], read_only=True) as journal:
        names = ["degree-days", "days out of range", "room temperature"]
        asked = score_table(journal.wholes(), "overall", names)
        plain = score_table(journal.wholes(), "overall")
    assert asked.x[:, asked.position("degree-days")] == pytest.approx(AGE * 12.0)
    assert asked.x[:, asked.position("days out of range")] == pytest.approx(0.0)
    assert "degree-days" not in [v.name for v in plain.variables]
    assert "Hardly varied, and left out unless named: days out of range, degree-days." in " ".join(
        text_of(note) for note in plain.notes
    )


def test_wheels_whose_air_was_read_too_seldom_are_named(
    kitchen: tuple[Path, list[float]], tmp_path: Path
) -> None:
    path = tmp_path / "copy.vatside"
    path.write_bytes(kitchen[0].read_bytes())
    with Journal.open(path) as journal:
        begun = START + 3 * DAY_MS
        make = journal.makes.begin(PLAN, Milk(10.0), begun)
        (wheel,) = journal.makes.finish(make.id or 0, [1.0], begun + DAY_MS // 2)
        larder = journal.shelves.room_named("Larder")
        journal.shelves.move([wheel], larder, begun + round(60 * DAY_MS))
        journal.sessions.give(
            OpenServing(wheel.id or 0, "Ann", begun + round(AGE * DAY_MS)),
            ScoredSample({"overall": 5.0}),
        )
        table = score_table(journal.wholes(), "overall")
    assert np.isnan(table.x[table.wheel.index(wheel.code), table.position("room humidity")])
    output = " ".join(text_of(note) for note in table.notes)
    assert "on fewer than half of the days of 1 wheel, so what it stood in" in output
    assert wheel.code in output


def test_what_a_wheel_was_made_of_when_it_was_tasted_is_looked_at_by_name(tmp_path: Path) -> None:
    """As the wheel's page has it, also after a part of it was given away."""
    path = tmp_path / "made.vatside"
    with Journal.create(path, letters="HL", zone="UTC") as journal:
        for number, (fat, salt_g) in enumerate(((3.5, 30.0), (4.1, 42.0), (3.8, 36.0))):
            begun = START + number * 30 * DAY_MS
            make = journal.makes.begin(PLAN, Milk(10.0, fat_pct=fat, protein_pct=3.2), begun)
            key = make.id or 0
            journal.additions.save(Addition(key, 0, "salt", "salt", salt_g, "g", begun))
            (wheel,) = journal.makes.finish(key, [1.1], begun + DAY_MS // 2)
            journal.shelves.weigh(wheel, 1.05 - 0.01 * number, begun + 40 * DAY_MS)
            journal.shelves.take(Removal(wheel.id or 0, "given", begun + 50 * DAY_MS, 0.5))
            journal.shelves.weigh(wheel, 0.51 - 0.01 * number, begun + 60 * DAY_MS)
            card = ScoredSample({"overall": 5.0 + number})
            journal.sessions.give(OpenServing(wheel.id or 0, "Ann", begun + 61 * DAY_MS), card)
        named = ["moisture at tasting", "S/M at tasting", "MNFS at tasting",
                 "fat in dry matter at tasting"]  # fmt: skip
        asked = score_table(journal.wholes(), "overall", named)
        plain = score_table(journal.wholes(), "overall")
        for row, code in enumerate(asked.wheel):
            shown = make_up_of(journal, journal.wheel_by_code(code))
            assert shown is not None
            for name, key in zip(named, ("moisture_pct", "s_m_pct", "mnfs_pct", "fdm_pct"),
                                 strict=True):  # fmt: skip
                got = asked.x[row, asked.position(name)]
                assert got == pytest.approx(getattr(shown, key)), name
    assert not set(named) & {v.name for v in plain.variables}
    assert any("looked at only where named: moisture" in text_of(n) for n in plain.notes)
