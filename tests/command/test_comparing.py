"""A make beside others by command: what was different, the others by rule, code or words."""

from __future__ import annotations

from pathlib import Path

from journal.keeping import Journal
from journal.reports.comparison_choice import HAND, choice_of
from tests.command.conftest import Run, fingerprint


def test_what_was_different_is_said_and_given_with_its_figures(sample: Path, run: Run) -> None:
    before = fingerprint(sample)
    found = run("compare", sample, "HL-0018", "--json").data
    assert found["make"] == "HL-0018"
    assert found["others_by"] == "plan"
    assert len(found["others"]) == len(found["likeness"]) >= 3
    rennet = next(one for one in found["different"] if one["fact"] == "rennet dose")
    assert rennet["value"] > rennet["high"] > rennet["usual"] > rennet["low"]
    assert (
        len(found["others"]) - 2 <= rennet["makes"] <= len(found["others"])
    )  # without those that failed
    assert all(abs(one["z"]) > 0 for one in found["different"] if one["unusual"] and one["z"])
    output = run("compare", sample, "HL-0018").out.splitlines()
    assert output[0] == found["heading"]
    assert output[1].startswith(f"{len(found['others'])} makes")
    assert any(line.strip().startswith("rennet dose: ") for line in output)
    assert fingerprint(sample) == before


def test_others_are_named_by_code_scored_or_not_or_found_by_words(sample: Path, run: Run) -> None:
    with Journal.open(sample, read_only=True) as journal:
        rows = [row for row in journal.makes.rows() if row.readings and row.code != "HL-0018"]
    unscored = next(row.code for row in rows if row.best_score is None)
    named = [unscored, *(row.code for row in rows if row.best_score is not None)][:4]
    asked = run("compare", sample, "HL-0018", "--others", ", ".join(named).lower(), "--json").data
    assert (asked["others_by"], set(asked["others"])) == (HAND, set(named))
    found = run("compare", sample, "HL-0018", "--others", "washed", "--json").data
    washed = [row.code for row in rows if "washed" in row.plan]
    assert (found["others_by"], found["others"]) == ("text", washed[:50])


def test_what_is_kept_is_what_the_window_compares_with(sample: Path, run: Run) -> None:
    run("compare", sample, "HL-0018", "--others", "HL-0002", "--keep")
    with Journal.open(sample, read_only=True) as journal:
        choice = choice_of(journal, journal.makes.by_code("HL-0018").id or 0)
    assert (choice.by, choice.makes) == (HAND, ("HL-0002",))
    assert run("compare", sample, "HL-0018", "--json").data["others"] == ["HL-0002"]
    acts = run("history", sample, "--filter", "compare", "--json").data
    assert [one["what"] for one in acts] == ["Compare with other makes"]
    rest = run("history", sample, "--without", "compare", "--last", "1", "--json").data
    assert "ompare" not in rest[0]["what"]
