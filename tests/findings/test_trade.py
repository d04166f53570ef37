"""The trade's tables: every row leads somewhere, every word has a row, every row a source."""

from __future__ import annotations

from journal.findings.hazards import MESSAGES
from journal.findings.trade import (
    EVERY,
    FAR,
    GRADES,
    NEAR,
    SAME,
    causes,
    closeness,
    defects_with_causes,
    disagreements,
    effects,
    families,
    family_of,
    grade_ranges,
    published_ranges,
)
from journal.findings.trade_values import ASKED, measured
from journal.records.plan_text import builtin_plans
from journal.records.tables import table
from journal.wording.sentences import catalogue
from journal.wording.trade_words import (
    NAMES,
    cause_words,
    disagreement_words,
    name_words,
    source_words,
    variable_question,
)

TABLES = ("causes", "effects", "grading", "danger", "trade_ranges", "disagreements", "hazards")


def said(table: str) -> list[str]:
    """The variables that have a word in a table of the sentences."""
    start = f"wording.{table}-"
    ids = [one for one in catalogue("wording") if one.startswith(start)]
    return [one.removeprefix(start).replace("-", "_") for one in ids]


def test_every_cause_is_of_a_known_variable_or_of_one_that_is_said_not_to_be_measured():
    known = measured()
    assert not known.keys() & set(ASKED)
    for row in causes():
        assert row.variable in known or row.variable in ASKED, row
        assert row.direction in ("less", "more", "too_far_from", "none_found"), row
        assert row.evidence in GRADES, row
        assert cause_words(row.id), row
    assert set(ASKED) <= {row.variable for row in causes()}
    assert set(said("ask")) >= set(ASKED)
    for key in known:
        assert variable_question(key).endswith((".", "?"))
        assert all(reader.key in {*NAMES, *said("variable")} for reader in known[key]), key


def test_every_defect_word_has_a_cause():
    words = table("defect_terms")["term"]
    assert len(words) == 49
    assert set(words) <= set(defects_with_causes())
    found = table("hazards")
    assert set(found["health"]) == set(MESSAGES)
    for named, rows in zip(found["defects"], found["rows"], strict=True):
        assert set(named.split(";")) <= set(defects_with_causes())
        assert set(filter(None, rows.split(";"))) <= set(table("danger")["id"])


def test_every_row_has_a_source_that_was_read_or_says_that_there_is_none():
    read = dict(zip(table("trade_sources")["key"], table("trade_sources")["read"], strict=True))
    used = set()
    for name in TABLES:
        found = table(name)
        for cell, ground in zip(found["source"], found.get("ground", found["source"]), strict=True):
            for key in cell.split(";"):
                used.add(key)
                assert source_words(key), (name, cell)
                assert "memory" not in ground
                assert key == "CP" or read[key], (name, key)
                assert not read[key].startswith("not seen"), (name, key)
    assert used == read.keys()
    ids = [row for name in TABLES[:4] for row in table(name)["id"]]
    assert len(ids) == len(set(ids))


def test_ranges_and_disagreements_lead_to_rows_that_are_there():
    rows = {row for name in TABLES[:4] for row in table(name)["id"]}
    for one in published_ranges():
        assert one.variable in measured()
        assert one.row in rows
        assert one.low is not None or one.high is not None
        assert set(one.defects) <= set(defects_with_causes())
    assert len(disagreements()) == 10
    for row, one in zip(table("disagreements")["rows"], disagreements(), strict=True):
        assert set(row.split(";")) <= rows
        assert set(one.variables) <= {*measured(), *ASKED, "ph_day_14"}
        assert one.variables or one.defects
        assert set(one.defects) <= set(defects_with_causes())
        title, text = disagreement_words(one.id)
        assert title
        assert text.endswith(".")
    assert {one.parameter for one in grade_ranges()} >= {"S/M", "FDM", "moisture", "salt"}


def test_families_are_those_that_a_plan_can_be_of():
    named = {*table("trade_families")["family"], EVERY}
    for row in (*causes(), *effects()):
        assert set(families(row.family)) <= named, row
    found: dict[str, set[str]] = {}
    for plan in builtin_plans():
        found.setdefault(family_of(plan), set()).add(plan.name)
    assert found == {
        "alpine": {"alpine type", "grana type"},
        "blue": {"blue type"},
        "brined": {"brined white", "grill cheese"},
        "cheddar-type": {"cheddar type"},
        "cultured": {"butter", "cultured cream", "strained yoghurt", "yoghurt"},
        "heat-set": {"mascarpone", "paneer", "queso blanco"},
        "lactic": {"cream cheese", "goat with ash", "lactic", "quark"},
        "pressed": {"caerphilly type", "pecorino type", "tomme", "wensleydale type"},
        "smear-ripened": {"washed rind"},
        "soft-ripened": {"camembert type"},
        "stretched": {"mozzarella type", "smoked stretched curd"},
        "washed-curd": {"colby type", "jack type", "washed-curd type"},
        "whey": {"brown whey cheese", "whey cheese"},
    }
    assert closeness("cheddar-type", "cultured") == FAR
    assert closeness("cheddar-type (reduced fat)", "cheddar-type") == SAME
    assert closeness("cheddar-type", "washed-curd") == NEAR
    assert closeness("cheddar-type", "soft-ripened") == FAR
    assert closeness("all (cut curd)", "lactic") == SAME
    assert closeness("blue", "") == NEAR


def test_names_and_questions_are_of_variables_that_exist():
    known = {*measured(), *(r.key for found in measured().values() for r in found), *ASKED}
    assert {*NAMES, *said("variable"), *said("ask"), *said("measure")} <= known
    assert name_words("salt_in_moisture") == "salt in moisture"
