"""The sample journal's findings name its true causes, and hold what they truly do."""

from __future__ import annotations

import pytest

from journal.findings import CLEAR, LEANING, study
from journal.findings.defect_table import defect_table
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.sample import write_sample
from journal.sample.truth import EFFECTS
from tests.present import NOW

TRUE = {  # variable, its step in the truth's unit over the findings' step
    "salt in curd": ("salt_g_per_kg", 3.0),  # % of curd: 0.3 is 3 g/kg
    "pH at milling": ("mill_ph", 0.1),
    "age at tasting": ("age_days", 30.0),
    "cook rate": ("cook_rate", 0.05),
}


@pytest.fixture(scope="module")
def wholes(tmp_path_factory):
    path = tmp_path_factory.mktemp("truth") / "sample.vatside"
    write_sample(path, seed=1, makes=60, readings_per_make=150, now_ms=NOW)
    with Journal.open(path, read_only=True) as journal:
        return list(journal.wholes())


def test_the_four_causes_are_clear_and_nothing_else_is(wholes):
    report = study(score_table(wholes, "overall"), permutations=199)
    assert {f.variable for f in report.findings if f.evidence == CLEAR} == set(TRUE)
    for variable, (name, step) in TRUE.items():
        found = report.finding(variable)
        true = EFFECTS[name].slope * step
        assert found.low95 - 0.05 <= true <= found.high95 + 0.05, variable


def test_what_makes_it_bitter_leads_the_findings_about_bitterness(wholes):
    """Rennet and age are the truth's causes of bitterness."""
    report = study(defect_table(wholes, "bitter"), permutations=199)
    first = [f.variable for f in report.findings[:2]]
    assert set(first) == {"age at tasting", "rennet dose"}
    assert all(report.finding(v).evidence in (CLEAR, LEANING) for v in first)
    assert all(report.finding(v).effect > 0 for v in first)
