"""What Findings says of doses and of the press: in the unit they were measured in, by weight where
a spoon's weight is known, and what is not known is not said to have never varied."""

from __future__ import annotations

import json
import math

import pytest

from journal.command import main
from journal.findings import NEVER, UNKNOWN, study
from journal.findings.missing import Gaps, fill
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.together import entries_of
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.records.instants import DAY_MS
from journal.records.makes import Ingredient, Milk
from journal.records.plans import Dose, Plan, Stage
from journal.records.spoon_weight import SPOON_FACTOR, spread_of, typed_g_per_ml
from journal.records.tastings import Assessor, Sample, Score, Tasting
from journal.wording import text_of
from tests.present import NOW

LITRES, AREA_CM2 = 10.0, math.pi * 7.5**2
WAIT_MS = 60_000


def plan(culture: Dose | None, *, kpa: float = 5.0, mould_mm: float | None = 150.0) -> Plan:
    doses = (culture,) if culture is not None else ()
    return Plan(
        f"plan {culture} {kpa} {mould_mm}",
        (
            Stage("ripen", 45, target_c=31.0, doses=doses),
            Stage("set", 45, doses=(Dose("rennet", "rennet", 0.2, "ml"),)),
            Stage("cut", 10, size_mm=10.0),
            Stage("press", 300, pressure_kpa=kpa),
        ),
        mould_mm=mould_mm,
    )


WEIGHED = Dose("culture", "culture", 0.02, "g")
LIQUID = Dose("culture", "bulk starter", 10.0, "ml")
SPOONED = Dose("culture", "culture", 0.0625, "ml", spoons=True)  # 1/8 tsp for 10 L


def make(
    journal: Journal,
    of: Plan,
    score: float,
    day: int,
    load_kg: float | None = None,
    aged: int = 30,
) -> None:
    """A make as the vat keeps it, each stage begun and ended, and a tasting a month later."""
    at = NOW - (400 - day) * DAY_MS
    begun = journal.makes.begin(of, Milk(LITRES), at)
    for _ in of.stages:
        at += 3_600_000
        journal.makes.end_stage(begun.id, at)
    if load_kg is not None:
        journal.readings.log(begun.id, "load", load_kg, at - 60_000)
    (wheel,) = journal.makes.finish(begun.id, [1.0], at)
    at += aged * DAY_MS
    session = journal.tastings.save(Tasting(at, lifted_ms=at))
    person = next(iter(journal.assessors.all()), None) or journal.assessors.save(Assessor("Orla"))
    sample = journal.samples.save(Sample(session.id, wheel.id))
    journal.scores.save(Score(sample.id, person.id, "overall", score))


@pytest.fixture
def journal(tmp_path):
    with Journal.create(tmp_path / "kitchen.vatside", zone="UTC") as saved:
        yield saved


def makes_of(journal: Journal, plans: list[Plan], **more) -> None:
    for i, of in enumerate(plans):
        make(journal, of, 5.0 + i % 3, 7 * i, **more)


def asked(journal: Journal, capsys) -> dict[str, dict]:
    """What `vatside findings --json` says of each variable, the journal closed before."""
    journal.close()
    assert main(["findings", str(journal.path), "--score", "overall", "--json"]) == 0
    return {f["variable"]: f for f in json.loads(capsys.readouterr().out)["findings"]}


def table_of(journal: Journal):
    with Journal.open(journal.path, read_only=True) as again:
        return score_table(again.wholes(), "overall")


def column(table, name: str) -> list[float]:
    return table.x[:, table.position(name)].tolist()


def test_a_culture_in_ml_counts_in_ml(journal, capsys):
    more = [Dose("culture", "bulk starter", 10.0 + i, "ml") for i in range(6)]
    makes_of(journal, [plan(dose) for dose in more])
    found = asked(journal, capsys)["culture dose"]
    assert found["step"] == {"value": pytest.approx(1.25), "unit": "ml/L"}
    assert sorted(column(table_of(journal), "culture dose")) == [10, 11, 12, 13, 14, 15]


def test_ml_and_g_of_a_culture_are_never_one_variable(journal, capsys):
    makes_of(journal, [plan(WEIGHED)] * 3 + [plan(LIQUID)] * 3)
    found = asked(journal, capsys)
    assert found["culture dose"]["step"]["unit"] == "g/L"
    assert found["culture dose in ml"]["step"]["unit"] == "ml/L"
    table = table_of(journal)
    assert {v for v in column(table, "culture dose") if v == v} == {0.02}
    assert {v for v in column(table, "culture dose in ml") if v == v} == {10.0}
    assert (
        "culture dose is in g in 3 of 6 makes and in ml in 3: they are studied separately, "
        "as culture dose and culture dose in ml." in map(text_of, table.notes)
    )


def test_a_powder_in_spoons_counts_in_grams_with_the_spoons_range(journal, capsys):
    makes_of(journal, [plan(SPOONED)] * 3 + [plan(WEIGHED)] * 3)
    assert asked(journal, capsys)["culture dose"]["step"]["unit"] == "g/L"
    table = table_of(journal)
    # 0.6 g/ml: from memory, no source; packets differ (as the sheet of the vat has it).
    assert column(table, "culture dose")[:3] == pytest.approx([0.0625 * 0.6] * 3)
    usual = "0.6 g/ml (from memory, no source: packets differ)"
    assert any(usual in text_of(note) for note in table.notes)
    j = table.position("culture dose")
    assert table.off[:3, j] == pytest.approx([math.hypot(spread_of(1.5), spread_of(1.15))] * 3)
    assert table.off[3:, j].tolist() == [0, 0, 0]
    filled = fill(table)
    gaps = Gaps.of(filled, entries_of(filled.x))
    assert sorted(row for rows in gaps.rows for row in rows.tolist()) == [0, 1, 2]


@pytest.mark.parametrize("strength", ["3 g/tsp", "0,6 g per ml", "0.375 g per 1/8 tsp"])
def test_a_lot_that_says_what_a_spoonful_weighs_is_believed(journal, strength):
    journal.ingredients.save(Ingredient("culture", "Culture", strength, "A1"))
    makes_of(journal, [plan(SPOONED)] * 5)
    table = table_of(journal)
    weighs = typed_g_per_ml(strength)
    assert weighs == pytest.approx(0.6)
    assert column(table, "culture dose") == pytest.approx([0.0625 * weighs] * 5)
    assert table.off[:, table.position("culture dose")] == pytest.approx(
        [spread_of(SPOON_FACTOR)] * 5
    )
    assert any("from the lot's strength" in text_of(note) for note in table.notes)


@pytest.mark.parametrize("strength", ["50 DCU", "250 IMCU/ml", "", "g/ml", "0.02 g/L", "9 g/ml"])
def test_a_strength_that_says_no_weight_is_none(strength):
    assert typed_g_per_ml(strength) is None


def test_salt_in_spoons_is_salt(journal):
    of = plan(WEIGHED)
    salt = Stage("salt", 10, doses=(Dose("salt", "salt", 2.0, "ml", spoons=True),))
    of = Plan("salted in spoons", (*of.stages, salt))
    makes_of(journal, [of] * 3)
    # 1.2 g/ml of fine salt: common practice, no source. 20 ml on 1 kg of curd.
    assert column(table_of(journal), "salt in curd") == pytest.approx([2.4] * 3)


def test_the_plans_pressure_counts_in_kpa_and_a_load_read_goes_before_it(journal, capsys):
    makes_of(journal, [plan(WEIGHED, kpa=kpa) for kpa in (4.0, 5.0, 6.0)])
    make(journal, plan(WEIGHED, kpa=4.0), 6.0, 60, load_kg=20.0)
    found = asked(journal, capsys)
    assert found["press pressure"]["step"] == {"value": 2.0, "unit": "kPa"}
    assert "press load" not in found
    read = 20.0 * 9.80665 * 10 / AREA_CM2  # 9.80665 m/s²: standard gravity, BIPM
    assert column(table_of(journal), "press pressure") == pytest.approx([4.0, 5.0, 6.0, read])


def test_a_load_without_a_mould_stays_in_kg(journal, capsys):
    bare = plan(WEIGHED, mould_mm=None)
    for i in range(3):
        make(journal, bare, 5.0 + i, 7 * i, load_kg=10.0 + i)
    found = asked(journal, capsys)
    assert found["press load"]["step"]["unit"] == "kg"
    assert "press pressure" not in found


def test_a_stage_that_never_began_says_nothing_of_the_make(journal):
    begun = journal.makes.begin(plan(WEIGHED), Milk(LITRES), NOW)
    whole = journal.whole(begun.id)
    read = {one.variable.key: one.read for one in MAKE_VARIABLES}
    assert math.isnan(read["press_pressure"](whole))
    assert math.isnan(read["curd_size"](whole))


def test_not_known_is_not_never_varied(journal, capsys):
    makes_of(journal, [plan(LIQUID)] + [plan(None)] * 5)
    assert asked(journal, capsys)["culture dose"]["evidence"] == UNKNOWN
    assert asked(journal, capsys)["rennet dose"]["evidence"] == NEVER
    report = study(table_of(journal))
    culture, rennet = report.finding("culture dose"), report.finding("rennet dose")
    assert (culture.known, culture.makes, culture.always) == (1, 6, 10.0)
    assert (rennet.known, rennet.makes, rennet.always) == (6, 6, 0.2)


def test_the_place_says_which_and_in_which_unit(window_on, qtbot, journal):
    small = Dose("culture", "liquid culture", 0.0625, "ml")
    for i in range(5):
        make(journal, plan(None), 5.0 + i % 3, 7 * i, aged=30 + 10 * i)  # only the age varies
    make(journal, plan(small), 6.0, 60)
    place = window_on(journal, place="findings").current
    qtbot.waitUntil(place.shows_results, timeout=WAIT_MS)

    def said_of(variable: str) -> str:
        place.results.table.select_variable(variable)
        return place.beside.numbers.message.text()

    assert said_of("culture dose").startswith("Known for 1 of 6 makes, at 0.0625 ml/L: too few")
    assert "never changed" not in said_of("culture dose")
    always = "It never changed in 6 makes: it was always 0.2 ml/L, so its effect cannot be seen."
    assert said_of("rennet dose").startswith(always)
    proposals = place.study.answers["overall"].next_make.proposals
    doses = [change for one in proposals for change in one.changes if "dose" in change.key]
    assert {change.unit for change in doses} <= {"ml/L"}
    place.window().close()
