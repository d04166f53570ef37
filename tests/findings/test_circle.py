"""Whether the next make pays, in eight worlds of each kind; the whole is `start.py pace circle`."""

from __future__ import annotations

import ast
import json
from pathlib import Path

import numpy as np
import pytest

from tests.pace import circle, circle_rivals, circle_worlds
from tests.pace.circle import Job, Results, led, mean_and_error, short_of, worst_ten
from tests.pace.circle_rivals import Never, Screening, Thompson
from tests.pace.circle_tool import TOOLS
from tests.pace.circle_worlds import CHANGES, KINDS, MAKES, Kitchen, Run, World

WORLDS = 8


@pytest.mark.parametrize("kind", KINDS)
def test_proposals_pay_and_settle_no_lower_than_the_best_rival(kind: str) -> None:
    names = [Never.name, Thompson.name, Screening.name, *(tool.name for tool in TOOLS)]
    results = Results()
    for number in range(WORLDS):
        for name in names:
            results.add(*led(Job(kind, False, number, name)))
    assert short_of(results, kind, False, WORLDS, [Thompson.name, Screening.name]) == []


def test_an_untidy_kitchen_ends_above_one_that_never_changes() -> None:
    gains = []
    for number in range(4):
        for kind in KINDS:
            still = led(Job(kind, True, number, Never.name))[1]
            moved = led(Job(kind, True, number, "careful"))[1]
            gains.append(float(np.mean(moved[-3:]) - np.mean(still[-3:])))
    mean, error = mean_and_error(np.array(gains))
    assert mean > 2 * error


def test_worlds_are_what_is_said_of_them() -> None:
    rng = np.random.default_rng(1)
    middle = World.drawn("middle", rng)
    best = -middle.slope / (2 * middle.bend)
    assert np.abs(best).max() <= 3
    assert middle.worth(best) == pytest.approx(8.5)
    slopes = World.drawn("slopes", rng)
    assert slopes.worth(3 * np.sign(slopes.slope)) == pytest.approx(9.0)
    few = World.drawn("few", rng)
    assert sorted(np.abs(few.slope))[-5:] == pytest.approx([0, *[0.35] * 4])
    assert all(world.worth(np.zeros(CHANGES)) == 6.0 for world in (middle, slopes, few))


def test_the_last_makes_are_never_scored_and_luck_is_the_same_for_all() -> None:
    runs = [Run(Kitchen.drawn("few", False, 3)) for _ in range(2)]
    for step, run in enumerate(runs):
        for _ in range(MAKES):
            run.make(np.full(CHANGES, float(step)))
    seen = [run.seen() for run in runs]
    assert seen[0].scores[:, 0].max() < MAKES - 3
    off = seen[1].carried - seen[0].carried
    assert off == pytest.approx(np.ones((MAKES, CHANGES)))


def test_the_simulator_shares_no_code_with_the_journal() -> None:
    for module in (circle_worlds, circle_rivals):
        tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
        names = [n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
        names += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
        assert not [name for name in names if name.split(".")[0] == "journal"]


def test_what_falls_short_is_named() -> None:
    results, still = Results(), np.full(MAKES, 6.0)
    every = [Never.name, Thompson.name, *(tool.name for tool in TOOLS)]
    for number in range(WORLDS):
        for name in every:
            makes = still if name == Never.name else still - 0.5 - 0.01 * number
            results.add(Job("few", False, number, name).key, list(makes), 5.0 + 0.01 * number)
        results.add(Job("few", False, number, Thompson.name).key, list(still), 10.0)
    short = short_of(results, "few", False, WORLDS, [Thompson.name])
    assert len([one for one in short if one.startswith("careful, worst ten makes: -0.5")]) == 1
    assert len([one for one in short if "against Thompson" in one]) == 1
    assert len([one for one in short if "against never changing" in one]) == 4


def test_the_worst_ten_in_a_row_are_found() -> None:
    makes = np.full((3, MAKES), 6.0)
    makes[:, 12:22] = [[5.0], [5.5], [4.5]]
    assert worst_ten(makes, np.full((3, MAKES), 6.0))[0] == pytest.approx(-1.0)


def test_a_run_is_resumed_with_a_method_of_ones_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    method, kept = tmp_path / "mine.py", tmp_path / "kept.jsonl"
    method.write_text(
        "import numpy as np\n"
        "class Method:\n"
        "    name = 'mine'\n"
        "    def choose(self, seen, dice):\n"
        "        return np.zeros(14)\n"
        "    settle = choose\n"
    )
    calls: list[str] = []

    def quick(job: Job, method: str | None = None) -> tuple[str, list[float], float]:
        calls.append(job.key)
        return job.key, [6.0] * MAKES, 6.0

    asked = ["--worlds", "2", "--jobs", "1", "--kinds", "few", "--tidiness", "plain",
             "--method", str(method), "--resume", str(kept)]  # fmt: skip
    monkeypatch.setattr(circle, "led", quick)
    circle.main(asked)
    lines = kept.read_text().splitlines()
    assert len(lines) == len(calls) == 2 * 9
    assert json.loads(lines[-1])[0] == "few plain 1 mine"
    kept.write_text("\n".join(lines[:-2]) + "\n" + lines[-2][:20])
    circle.main(asked)
    assert len(calls) == 2 * 9 + 2
    assert "mine" in capsys.readouterr().out
