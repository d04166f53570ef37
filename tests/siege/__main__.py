"""The siege: `python3 packaging/start.py siege [PART…] [--count N] [--seed S]`.

Each part tries to lose what was acknowledged, or to be let in; the table says how often, and what
it found. The same seed throws the same dice, but processes are never as fast twice.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from importlib import import_module

from tests.siege.table import Tally

PARTS = {
    "kills": 300, "scenes": 100, "power": 300, "trouble": 40, "together": 200, "network": 3,
    "clock": 400, "damages": 2_000, "hostile": 100_000,
}  # fmt: skip


def main(words: list[str] | None = None) -> int:
    """Run the parts asked for and print the table."""
    parser = argparse.ArgumentParser(prog="siege", description=__doc__)
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"{', '.join(PARTS)}; all if none")
    parser.add_argument("--count", type=int, help="how many of each, instead of what is promised")
    parser.add_argument(
        "--seed", type=int, help="of the dice; printed, so that it can be had again"
    )
    args = parser.parse_args(words)
    unknown = set(args.parts) - set(PARTS)
    if unknown:
        parser.error(f"there is no {', '.join(sorted(unknown))}; there are {', '.join(PARTS)}")
    seed = random.SystemRandom().randrange(10**6) if args.seed is None else args.seed
    print(f"Seed {seed}", flush=True)
    tallies = []
    for part in args.parts or PARTS:
        begun = time.monotonic()
        tally = tried(part, args.count or PARTS[part], seed)
        tallies.append(tally)
        print(f"{tally.line()} ({time.monotonic() - begun:.0f} s)", flush=True)
        for fault in tally.faults:
            print(f"    {fault}", flush=True)
    found = sum(len(tally.faults) for tally in tallies)
    print(f"{found} faults in {len(tallies)} parts.")
    return 1 if found else 0


def tried(part: str, count: int, seed: int) -> Tally:
    """Run one part. What only counts has a fault in each name of its module's `BAD`, and in what
    it raises."""
    module = import_module(f"tests.siege.{part}")
    try:
        found = module.run(count, seed)
    except AssertionError as error:
        return Tally(part, faults=[str(error)])
    if isinstance(found, Tally):
        return found
    bad = [f"{found[name]} {name}" for name in getattr(module, "BAD", ()) if found.get(name)]
    return Tally(part, Counter(found), bad)


if __name__ == "__main__":
    sys.exit(main())
