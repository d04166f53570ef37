"""`next`: what to make next, as the window says it, remembered for both."""

from __future__ import annotations

from pathlib import Path

import pytest

from journal.background import State
from journal.keeping import Journal
from journal.reports.study import MANNER, look_at
from tests import present


@pytest.fixture
def sample_path(tmp_path: Path) -> Path:
    from journal.sample import write_sample

    path = tmp_path / "sample.vatside"
    write_sample(path, makes=12, now_ms=present.now())
    return path


def asked(run, *words):
    return run(*words, "--json").data


def test_it_says_what_the_window_says_and_remembers(sample_path, run, refused):
    answer = asked(run, "next", sample_path, "--manner", "bold", "--a-year", "12")
    with Journal.open(sample_path, read_only=True) as journal:
        found = look_at(journal, "overall", State(lambda *_: None)).next_make
        assert journal.setting(MANNER) == "bold"
    assert found.a_year == answer["makes_a_year"] == 12
    assert answer["manner"] == "bold"
    assert answer["start"] == found.start.code
    bold = found.of("bold")
    output = {
        one["variable"]: one["value"] for one in answer["proposal"]["changes"] if one["tried"]
    }
    assert output == {one.variable: one.value for one in bold.changes}
    assert answer["proposal"]["score"] == pytest.approx(bold.score.mean)
    best = answer["best_known_plan"]
    assert best["low80"] < best["score"] < best["high80"]
    assert not any(one["tried"] for one in best["changes"])
    for change in best["changes"]:
        assert change["cost_if_wrong"] == pytest.approx(max(-change["gain_low80"], 0))
        assert change["reason"]
    assert asked(run, "next", sample_path)["manner"] == "bold"
    assert asked(run, "findings", sample_path, "--score", "overall")["best_known_plan"] == best
    assert "--a-year 12" in refused("next", sample_path, "--a-year", "often")


def test_a_table_has_no_best_known_plan(tmp_path, run):
    table = tmp_path / "makes.csv"
    rows = [f"{i % 4},{i % 3},{5 + i % 4}" for i in range(12)]
    table.write_text("\n".join(["salt,acid,taste", *rows]))
    assert asked(run, "findings", table, "--score", "taste")["best_known_plan"] is None
