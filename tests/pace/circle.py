"""Whether the next make pays: `start.py pace circle`.

Whole kitchens of 30 makes (`circle_worlds.py`) are led by the journal's own proposals and by rivals
(`circle_rivals.py`), all in the same worlds with the same luck. Printed as they are done: the true
score of makes 28 to 30, of the plan settled on at the end, and of the worst ten makes in a row
against never changing, each with its standard error; then where the proposals fall short of what
is asked of them.

    start.py pace circle --worlds 100 --jobs 2 --resume circle.jsonl
    start.py pace circle --method mine.py      # a chooser of your own beside them

A method is a Python file with a class `Method` that has `name`, `choose(seen, dice)` and
`settle(seen, dice)`, both returning 14 settings in typical changes (`circle_worlds.Seen` says what
is seen).
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from multiprocessing import Pool
from pathlib import Path
from typing import Any

import numpy as np

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small sums: threads only get in the way
sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.pace.circle_rivals import RIVALS, Never
from tests.pace.circle_tool import TOOLS, Bold, Careful
from tests.pace.circle_worlds import KINDS, MAKES, Kitchen, Numbers, Run

SEED = 13
LAST, TEN = 3, 10
NEVER = Never.name
WORST_TEN = -0.2
LAST_ABOVE = {"middle": 0.6, "slopes": 0.6, "few": 2.5}
SETTLES = {"middle": 6.9, "slopes": 7.0, "few": 9.2}
TITLES = {
    "middle": "Optima in the middle",
    "slopes": "Slopes",
    "few": "Few matter",
}
TIDY, UNTIDY = "plain", "untidy"


@dataclass(frozen=True)
class Job:
    """One kitchen led by one chooser."""

    kind: str
    untidy: bool
    number: int
    method: str

    @property
    def key(self) -> str:
        """What it is called in the file of results."""
        return f"{self.kind} {UNTIDY if self.untidy else TIDY} {self.number} {self.method}"


@dataclass
class Results:
    """True scores of every make (makes,) and of the plan settled on, by world and chooser."""

    makes: dict[str, Numbers] = field(default_factory=dict)
    settled: dict[str, float] = field(default_factory=dict)

    def add(self, key: str, makes: Sequence[float], settled: float) -> None:
        """Note a kitchen that was led to its end."""
        self.makes[key], self.settled[key] = np.asarray(makes, dtype=float), settled

    def of(self, kind: str, untidy: bool, worlds: int, method: str) -> tuple[Numbers, Numbers]:
        """True scores of makes (worlds, makes) and of the plans settled on (worlds,)."""
        keys = [Job(kind, untidy, n, method).key for n in range(worlds)]
        return np.array([self.makes[k] for k in keys]), np.array([self.settled[k] for k in keys])


def choosers(method: str | None = None) -> dict[str, Any]:
    """Every chooser by its name; with the class `Method` of a file, where one is given."""
    found: dict[str, Any] = {one.name: one for one in (*RIVALS, *TOOLS)}
    if method is not None:
        spec = importlib.util.spec_from_file_location("circle_method", method)
        if spec is None or spec.loader is None:
            raise SystemExit(f"{method} is no Python file.")
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        found[module.Method.name] = module.Method
    return found


def led(job: Job, method: str | None = None) -> tuple[str, list[float], float]:
    """Lead a kitchen to its end: key, true scores of its makes and of the plan settled on."""
    chooser = choosers(method)[job.method]()
    run = Run(Kitchen.drawn(job.kind, job.untidy, job.number, SEED))
    rng = np.random.default_rng([SEED, 5, job.number])
    for _ in range(MAKES):
        run.make(chooser.choose(run.seen(), rng))
    plan = np.clip(chooser.settle(run.seen(), rng), -3.0, 3.0)
    return job.key, run.worths().tolist(), float(run.kitchen.world.worth(plan))


def mean_and_error(values: Numbers) -> tuple[float, float]:
    """The mean of values (worlds,) and its standard error."""
    return float(values.mean()), float(values.std(ddof=1) / np.sqrt(values.size))


def worst_ten(makes: Numbers, never: Numbers) -> tuple[float, float]:
    """The ten makes in a row that were worst against never changing, with the standard error."""
    off = makes - never
    runs = np.array([off[:, i : i + TEN].mean(axis=1) for i in range(off.shape[1] - TEN + 1)])
    return mean_and_error(runs[int(np.argmin(runs.mean(axis=1)))])


@dataclass(frozen=True)
class Shown:
    """What one chooser came to in one kind of world: (mean, standard error) each."""

    last: tuple[float, float]
    settled: tuple[float, float]
    worst: tuple[float, float]

    def line(self, name: str) -> str:
        """It as a line of the table."""
        parts = "".join(f"{a:9.2f} ± {b:.2f}" for a, b in (self.last, self.settled))
        return f"  {name:20}{parts}{self.worst[0]:+9.2f} ± {self.worst[1]:.2f}"


def shown(results: Results, kind: str, untidy: bool, worlds: int, method: str) -> Shown:
    """What a chooser came to."""
    never, _ = results.of(kind, untidy, worlds, NEVER)
    makes, settled = results.of(kind, untidy, worlds, method)
    last = makes[:, -LAST:].mean(axis=1)
    return Shown(mean_and_error(last), mean_and_error(settled), worst_ten(makes, never))


HEAD = f"  {'':20}{'makes 28-30':>16}{'settled on':>16}{'worst ten':>16}"


def short_of(
    results: Results, kind: str, untidy: bool, worlds: int, rivals: Iterable[str]
) -> list[str]:
    """Where the proposals fall short of what is asked, two standard errors counting for them."""
    never, still = results.of(kind, untidy, worlds, NEVER)
    out = []
    for tool in TOOLS:
        makes, settled = results.of(kind, untidy, worlds, tool.name)
        for what, gain in (("makes 28 to 30", makes[:, -LAST:].mean(1) - never[:, -LAST:].mean(1)),
                           ("the plan settled on", settled - still)):  # fmt: skip
            out += _missing(f"{tool.name}, {what} against never changing", gain, 0.0)
    if untidy:
        return out
    makes, _ = results.of(kind, untidy, worlds, Careful.name)
    worst, error = worst_ten(makes, never)
    if worst + 2 * error < WORST_TEN:
        out.append(f"careful, worst ten makes: {worst:+.2f} ± {error:.2f}, asked {WORST_TEN:+.1f}")
    gain = makes[:, -LAST:].mean(axis=1) - never[:, -LAST:].mean(axis=1)
    out += _missing("careful, makes 28 to 30 against never changing", gain, LAST_ABOVE[kind])
    _, settled = results.of(kind, untidy, worlds, Bold.name)
    out += _missing("bold, the plan settled on", settled, SETTLES[kind])
    for rival in rivals:
        _, other = results.of(kind, untidy, worlds, rival)
        out += _missing(f"bold, the plan settled on against {rival}", settled - other, 0.0)
    return out


def _missing(what: str, values: Numbers, asked: float) -> list[str]:
    mean, error = mean_and_error(values)
    if mean + 2 * error >= asked:
        return []
    return [f"{what}: {mean:+.2f} ± {error:.2f}, asked {asked:+.1f}"]


def read_results(path: Path | None) -> Results:
    """What an earlier run has done; a line that was cut off is done again."""
    results = Results()
    if path is not None and path.exists():
        for line in path.read_text(encoding="utf-8").splitlines():
            try:
                key, makes, settled = json.loads(line)
            except ValueError:
                continue
            results.add(key, makes, settled)
    return results


def _done(
    jobs: list[Job], processes: int, method: str | None
) -> Iterator[tuple[str, list[float], float]]:
    work = partial(led, method=method)
    if processes == 1:
        yield from map(work, jobs)
        return
    with Pool(processes) as pool:
        yield from pool.imap_unordered(work, jobs, chunksize=2)


def show(results: Results, kind: str, untidy: bool, worlds: int, names: Sequence[str]) -> None:
    """Print a table and where the proposals fall short in it."""
    print(f"\n{TITLES[kind]}, {UNTIDY if untidy else TIDY} ({worlds} worlds)\n{HEAD}")
    for name in names:
        print(shown(results, kind, untidy, worlds, name).line(name))
    short = short_of(results, kind, untidy, worlds, [r.name for r in RIVALS])
    print("\n".join(f"  Short: {one}." for one in short) or "  Nothing falls short.", flush=True)


def main(argv: Sequence[str] | None = None) -> int:
    """Run the kitchens and print the tables; 1 where the proposals fall short of what is asked."""
    ask = argparse.ArgumentParser(prog="pace circle", description=__doc__,
                                  formatter_class=argparse.RawDescriptionHelpFormatter)  # fmt: skip
    ask.add_argument("--worlds", type=int, default=100, help="worlds of each kind (100)")
    ask.add_argument("--jobs", type=int, default=2, help="processes (2)")
    ask.add_argument("--kinds", nargs="*", choices=KINDS, default=list(KINDS))
    ask.add_argument("--tidiness", nargs="*", choices=(TIDY, UNTIDY), default=[TIDY, UNTIDY])
    ask.add_argument("--method", help="a Python file with a chooser of your own")
    ask.add_argument("--resume", type=Path, help="keeps each kitchen done; those there are kept")
    output = ask.parse_args(argv)
    if output.worlds < 2:
        ask.error("a standard error needs two worlds at least")
    results, names, fell = read_results(output.resume), list(choosers(output.method)), False
    for untidy in (t == UNTIDY for t in output.tidiness):
        for kind in output.kinds:
            every = [Job(kind, untidy, n, name) for n in range(output.worlds) for name in names]
            wanted = [one for one in every if one.key not in results.makes]
            for done, one in enumerate(_done(wanted, output.jobs, output.method), 1):
                results.add(*one)
                if output.resume is not None:
                    with output.resume.open("a", encoding="utf-8") as file:
                        file.write(json.dumps(one) + "\n")
                if done % 100 == 0:
                    print(f"{kind}: {done} of {len(wanted)} kitchens", flush=True)
            show(results, kind, untidy, output.worlds, names)
            rivals = [r.name for r in RIVALS]
            fell |= bool(short_of(results, kind, untidy, output.worlds, rivals))
    return int(fell)


if __name__ == "__main__":
    sys.exit(main())
