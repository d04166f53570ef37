"""Plans and makes in the file: versions, codes, stages as run, wheels, the list."""

from __future__ import annotations

from dataclasses import fields, replace

from journal.curves.day import every_begin
from journal.keeping import Journal, KeepingError
from journal.keeping.makes import letter
from journal.keeping.rows import NOUNS
from journal.records.makes import Make, Milk
from journal.records.plan_columns import IN_TEXT
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from journal.records.tastings import Assessor, Sample, Score, Tasting
from tests.refusals import refused

MINUTE = 60_000


def test_a_plan_comes_back_as_it_was(saved: Journal, plan: Plan) -> None:
    kept_plan = saved.plans.save(plan)
    with Journal.open(saved.path, read_only=True) as again:
        assert again.plans.by_name(plan.name) == kept_plan


def test_the_same_plan_is_kept_once_and_a_changed_one_is_the_next_version(
    saved: Journal, plan: Plan
) -> None:
    first = saved.plans.save(plan)
    assert saved.plans.save(plan) == first
    second = saved.plans.save(replace(plan, milk_l=20.0))
    assert (first.version, second.version) == (1, 2)
    assert [p.milk_l for p in saved.plans.versions(plan.name)] == [10.0, 20.0]
    assert saved.plans.latest() == [second]


def test_a_plan_put_in_the_bin_can_be_kept_anew(saved: Journal, plan: Plan) -> None:
    saved.plans.save(plan)
    saved.plans.remove(plan.name)
    assert saved.plans.names() == []
    assert saved.plans.save(plan).name == plan.name
    assert saved.plans.names() == [plan.name]


def test_every_field_of_every_record_has_its_column(saved: Journal) -> None:
    for noun in NOUNS.values():
        columns = {row[1] for row in saved._db.execute(f'pragma table_info("{noun.table}")')}
        assert columns - {"binned_ms", "sum"} == {*noun.columns(), "id"}
    for table, record, apart in (
        ("plan", Plan, {"stages", "care"}),
        ("stage", Stage, {"acid_target", "doses"} | IN_TEXT),
        ("gate", AcidTarget, set()),
        ("dose", Dose, IN_TEXT),
        ("care_rule", CareRule, set()),
    ):
        columns = {row[1] for row in saved._db.execute(f'pragma table_info("{table}")')}
        wanted = {f.name for f in fields(record)} - apart
        assert wanted <= columns, table


def test_a_make_runs_through_its_stages(saved: Journal, make: Make) -> None:
    key, zero = make.id or 0, make.started_ms
    assert make.code == "HL-0001"
    ended, following = saved.makes.end_stage(key, zero + 42 * MINUTE)
    assert (ended.kind, following.kind) == ("warm", "set")
    assert following.delay_min == 12.0
    with refused(KeepingError, "keeping.stage-ends-early", stage="set"):
        saved.makes.end_stage(key, zero + 41 * MINUTE)
    for minutes in (90, 100, 140, 155):
        ended, following = saved.makes.end_stage(key, zero + minutes * MINUTE)
    assert (ended.kind, following) == ("drain", None)
    with refused(KeepingError, "keeping.no-stage-runs"):
        saved.makes.end_stage(key, zero + 200 * MINUTE)
    whole = saved.whole(key)
    assert every_begin(whole) == [0.0, 42.0, 90.0, 100.0, 140.0]


def test_finishing_gives_wheels_with_their_green_weight(saved: Journal, make: Make) -> None:
    at = make.started_ms + 400 * MINUTE
    wheels = saved.makes.finish(make.id or 0, [0.61, 0.58], at)
    assert [w.code for w in wheels] == ["HL-0001-A", "HL-0001-B"]
    assert [w.weight_kg for w in saved.weighings.all()] == [0.61, 0.58]
    assert saved.makes.running() == []
    assert saved.runs.where(make_id=make.id)[0].ended_ms == at
    with refused(KeepingError, "keeping.finished-already", make="HL-0001"):
        saved.makes.finish(make.id or 0, [1.0], at)
    assert saved.wheel_by_code("hl-0001-b").green_weight_kg == 0.58


def test_codes_go_on_after_a_make_went_to_the_bin(saved: Journal, plan: Plan) -> None:
    first = saved.makes.begin(plan, Milk(10.0), 1000)
    saved.makes.remove(first.id or 0)
    second = saved.makes.begin(plan, Milk(10.0), 2000)
    assert second.code == "HL-0002"
    assert [m.code for m in saved.makes.all()] == ["HL-0002"]
    with refused(KeepingError, "keeping.make-in-bin", make="HL-0001"):
        saved.makes.by_code("HL-0001")


def test_the_list_says_what_there_is_of_each_make(saved: Journal, make: Make, plan: Plan) -> None:
    later = saved.makes.begin(plan, Milk(11.0), make.started_ms + 1000 * MINUTE)
    saved.readings.log(make.id or 0, "milk-temp", 30.0, make.started_ms)
    wheel = saved.makes.finish(make.id or 0, [1.2], make.started_ms + 300 * MINUTE)[0]
    for points in ((6.0, 7.0), (8.0, 9.0)):
        session = saved.tastings.save(Tasting(make.started_ms, lifted_ms=make.started_ms))
        sample = saved.samples.save(Sample(session.id or 0, wheel.id or 0))
        for name, value in zip(("Orla", "Tam"), points, strict=True):
            who = saved.assessors.save(Assessor(name))
            saved.scores.save(Score(sample.id or 0, who.id or 0, "overall", value))
    rows = saved.makes.rows()
    assert [row.code for row in rows] == [later.code, make.code]
    assert (rows[1].readings, rows[1].wheels, rows[1].best_score) == (1, 1, 8.5)
    assert rows[0].best_score is None
    whole = saved.whole(make.id or 0)
    assert [(g.assessor, g.value) for g in whole.scores] == [
        ("Orla", 6.0), ("Tam", 7.0), ("Orla", 8.0), ("Tam", 9.0),
    ]  # fmt: skip


def test_wheels_are_lettered_past_z() -> None:
    assert [letter(i) for i in (0, 25, 26, 27, 52)] == ["A", "Z", "AA", "AB", "BA"]
