"""Proof by simulation of the ramp's advice: `python tests/pace/heating_proof.py`.

Two tables: the sample's vat, which is the fitted model, and below it vessels that are not
(`heating_slow`).

The vat is the sample's, but that its heat lags by 3.5 minutes more or less (a factor with a
logarithm's spread of 0.3) and it loses more or less warmth (0.2). The plan's cook is 37.2 to
40 °C at 0.13 to 0.30 °C/min. "Steady" is a knob of twenty notches left alone, or changed once by
0.85 to 1.25 times in three cooks of ten; "the sample's hand" corrects it every 2.5 minutes. The
heat is turned down when the advice says so, to what holds the target (give or take 5 %); where it
is about to say so and the thermometer was not read within a minute, it is read once more. Arrival
(to within half the allowed range) and coasting are judged by the kitchen's own thermometer, which
may be off by 0.08 °C: it is all that anyone at the vat can go by. The last lines are the sample's
days as they were: a hand that nobody tells anything, easing off by itself.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small sums: threads only get in the way
sys.path.insert(0, str(Path(__file__).parent))

import forecast_makes
import heating_slow
from heating_makes import START_MS, Cook, cook, earlier, kitchen

from journal.curves.heating import NEAR, heating, vessel_of

WITHIN_MIN, WITHIN_C = 2.0, 0.3


@dataclass(frozen=True)
class Way:
    """How a kitchen heats and reads, and how many earlier makes it leans on."""

    restless: bool = False
    logged: bool = False
    by_hand: bool = False
    past: int = 0

    @property
    def name(self) -> str:
        """What the line says."""
        heat = "sample's hand" if self.restless else "steady"
        log = ", heat logged" if self.logged else ""
        read = ", read every 5 min" if self.by_hand else ""
        return f"{heat}{log}{read}, {self.past} past"


@dataclass(frozen=True)
class Reports:
    """A cook: errors in minutes of each arrival told from halfway on until half a minute before,
    whether each range held it, and by how much the milk rose past its target (below zero: not
    up to it)."""

    errors: np.ndarray
    held: np.ndarray
    coasted_c: float


def report(one: Cook) -> Reports:
    """What one cook's advice was worth."""
    errors, held = [], []
    came = START_MS + one.arrived_min * 60_000
    for minutes, found in one.output:
        if not one.halfway_min <= minutes < one.arrived_min - 0.5:
            continue
        if found is None or found.arrives_ms is None or found.low is None:
            errors.append(np.inf)
            held.append(False)
            continue
        errors.append((found.arrives_ms - came) / 60_000)
        held.append(found.low <= came <= (np.inf if found.high is None else found.high))
    return Reports(np.array(errors), np.array(held, bool), one.coasted_c)


def trial(seed: int, way: Way, cooks: int) -> list[Reports]:
    """Some cooks of one kitchen."""
    rng = np.random.default_rng([seed, 5])
    place = kitchen(rng, restless=way.restless, logged=way.logged, by_hand=way.by_hand)
    past = [vessel_of(earlier(rng, place)) for _ in range(way.past)]
    return [report(cook(rng, place, past)) for _ in range(cooks)]


def own_days(seed: int, past: int, makes: int) -> list[Reports]:
    """The sample's own cooks, asked every two minutes from halfway on."""
    every = forecast_makes.kitchen(seed, past + makes)
    vessels = [vessel_of(made.whole) for made in every[:past]]
    out = []
    for made in every[past:]:
        place = [s.kind for s in made.day.plan.stages].index("cook")
        if place >= len(made.day.begins) - 1:
            continue
        stage, begin = made.day.plan.stages[place], made.day.begins[place]
        at = np.arange(begin, begin + 150, 0.05)
        temp = made.day.vat.temperature_at(at) + _offset(made)
        came = float(at[np.argmax(temp >= (stage.target_c or 0) - NEAR * stage.allowed_c)])
        output = tuple(
            (float(m), heating(made.until(m), START_MS + round(m * 60_000), vessels))
            for m in np.arange((begin + came) / 2, came - 0.5, 2.0)
        )
        out.append(report(Cook(made.whole, output, came, (begin + came) / 2, np.nan)))
    return out


def _offset(made: forecast_makes.Made) -> float:
    """What the day's thermometer shows too much, over all its readings."""
    trace = made.whole.trace("milk-temp").sound()
    shown = made.day.vat.temperature_at(trace.minutes_from(made.whole.make.started_ms))
    return float(np.mean(trace.value - shown))


def trials(seeds: Iterable[int], way: Way, cooks: int, jobs: int = 1) -> list[Reports]:
    """The same over several kitchens."""
    rounds = [(seed, way, cooks) for seed in seeds]
    if jobs == 1:
        return [t for one in rounds for t in trial(*one)]
    with Pool(jobs) as pool:
        return [t for found in pool.starmap(trial, rounds) for t in found]


def shares(found: list[Reports]) -> tuple[float, float]:
    """The share of arrivals told within 2 min and of cooks that coasted to within 0.3 °C."""
    errors = np.concatenate([t.errors for t in found])
    coasted = np.array([t.coasted_c for t in found])
    near = np.mean(np.abs(coasted) <= WITHIN_C) if np.isfinite(coasted).any() else np.nan
    return float(np.mean(np.abs(errors) <= WITHIN_MIN)), float(near)


WAYS = [
    Way(restless, logged, by_hand, past)
    for restless in (False, True)
    for logged, by_hand in ((False, False), (True, False), (False, True))
    for past in (0, 6)
]
HEAD = f"{'':42s}  cooks  told  <=2 min %  median  range %  <=0.3 °C %  median"


def line(name: str, found: list[Reports]) -> str:
    """One line of the table."""
    errors = np.concatenate([t.errors for t in found])
    arrived, coasted = shares(found)
    held = np.mean(np.concatenate([t.held for t in found]))
    rise = np.median(np.abs([t.coasted_c for t in found]))
    return (
        f"{name:42s}{len(found):7d}{len(errors):6d}{100 * arrived:11.1f}"
        f"{np.median(np.abs(errors)):8.2f}{100 * held:9.1f}{100 * coasted:12.1f}{rise:8.2f}"
    )


def show(seeds: range, cooks: int, jobs: int) -> None:
    """Print the table."""
    print(f"\nHeating: {len(seeds)} kitchens of {cooks} cooks a line\n{HEAD}")
    for way in WAYS:
        print(line(way.name, trials(seeds, way, cooks, jobs)), flush=True)
    for past in (0, 12):
        with Pool(jobs) as pool:
            days = pool.starmap(own_days, [(seed, past, 2 * cooks) for seed in seeds])
        found = [t for some in days for t in some]
        print(line(f"sample's days, {past} past", found), flush=True)


def main(argv: list[str] | None = None) -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description="Prove the ramp's advice by simulation.")
    ask.add_argument("--kitchens", type=int, default=12)
    ask.add_argument("--cooks", type=int, default=4)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--jobs", type=int, default=2)
    output = ask.parse_args(argv)
    seeds = range(output.seed, output.seed + output.kitchens)
    show(seeds, output.cooks, output.jobs)
    heating_slow.show(seeds, heating_slow.OWN, output.jobs)


if __name__ == "__main__":
    main()
