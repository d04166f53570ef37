"""The sample journal's findings name its true causes, and hold what they truly do."""

from __future__ import annotations

import pytest

from journal.findings import CLEAR, LEANING, study
from journal.findings.defect_table import defect_table
from journal.findings.variables import score_table
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.sample import write_sample
from journal.sample.truth import EFFECTS, OPTIMA
from tests.present import NOW

TRUE = {  # variable, its step in the truth's unit over the findings' step
    "salt in curd": ("salt_g_per_kg", 3.0),  # % of curd: 0.3 is 3 g/kg
    "age at tasting": ("age_days", 30.0),
    "cook rate": ("cook_rate", 0.05),
}


def written(path, now_ms):
    write_sample(path, now_ms=now_ms)
    with Journal.open(path, read_only=True) as journal:
        return list(journal.wholes())


@pytest.fixture(scope="module")
def wholes(tmp_path_factory):
    return written(tmp_path_factory.mktemp("truth") / "sample.vatside", NOW)


@pytest.mark.parametrize("present", ["2026-02-03T08:10", "2027-05-17T22:30", "2027-08-30T16:00"])
def test_whenever_it_is_made_it_shows_a_clear_a_leaning_and_a_curved_finding(tmp_path, present):
    made = written(tmp_path / "then.vatside", from_iso(present, "Europe/London"))
    shows_the_three(study(score_table(made, "overall"), permutations=99))


def test_what_is_clear_is_true_and_the_ranges_hold_the_truth(wholes):
    report = study(score_table(wholes, "overall"), permutations=199)
    shows_the_three(report)
    for variable, (name, step) in TRUE.items():
        found = report.finding(variable)
        true = EFFECTS[name].slope * step
        assert found.low95 - 0.05 <= true <= found.high95 + 0.05, variable


def shows_the_three(report):
    clear = {f.variable for f in report.findings if f.evidence == CLEAR}
    assert clear == {"salt in curd", "age at tasting", "pH at milling"}
    assert report.finding("cook rate").evidence == LEANING
    curved = [f for f in report.findings if f.best is not None]
    assert [f.variable for f in curved] == ["pH at milling"]
    # a reading of pH is good to 0.03: sensor 0.012, noise 0.018
    assert curved[0].best.low80 - 0.03 <= OPTIMA["mill_ph"].best <= curved[0].best.high80 + 0.03


def test_what_makes_it_bitter_is_among_the_findings_about_bitterness(wholes):
    """Rennet and age are the truth's causes of bitterness; of six makes with much rennet."""
    report = study(defect_table(wholes, "bitter"), permutations=199)
    assert report.finding("rennet dose").evidence in (CLEAR, LEANING)
    assert report.finding("rennet dose").effect > 0
    false = {f.variable for f in report.findings if f.evidence == CLEAR}
    assert false <= {"age at tasting", "rennet dose"}
