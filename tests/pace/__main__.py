"""Measure the journal against bare baselines in the same run: `python -m tests.pace`.

Prints ratios, each with the promise it is held to. It is no test: a noisy machine would fail it.
`forecast`, `heating`, `findings-proof` and `circle` come first and alone: they print what the
forecast of acid, the ramp's advice, the findings and the next make were worth in simulated kitchens
and journals, and take options of their own (`forecast --help`).
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

from tests.pace.ratio import Ratio, show

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
PROOFS = ("forecast", "heating", "findings-proof", "circle")


def main(argv: list[str] | None = None) -> int:
    """Run the measurements asked for and print a line each."""
    argv = sys.argv[1:] if argv is None else argv
    if argv and argv[0] in PROOFS:
        return prove(argv[0], argv[1:])
    parser = argparse.ArgumentParser(prog="pace", description=__doc__)
    names = "window, reading, opening, findings, probes, sums; all by default. and the proofs"
    parser.add_argument("which", nargs="*", help=names)
    parser.add_argument("--rounds", type=int, default=9, help="pairs of each (9)")
    parser.add_argument("--makes", type=int, default=1000, help="makes of the large journal (1000)")
    args = parser.parse_args(argv)
    from tests.pace import findings_pace, opening, reading, sensors, sums, window

    parts = {
        "window": window,
        "reading": reading,
        "opening": opening,
        "findings": findings_pace,
        "probes": sensors,
        "sums": sums,
    }
    unknown = set(args.which) - set(parts)
    if unknown:
        there = ", ".join([*parts, *PROOFS])
        parser.error(f"there is no {', '.join(sorted(unknown))}; there are {there}")
    with tempfile.TemporaryDirectory() as folder:
        ratios: list[Ratio] = []
        for name in args.which or parts:
            for ratio in parts[name].measure(Path(folder), args.rounds, args.makes):
                print(show(ratio), flush=True)
                ratios.append(ratio)
    missed = [ratio for ratio in ratios if not ratio.kept]
    for ratio in missed:
        print(f"Missed in this run: {ratio.what}.")
    print(f"{len(ratios) - len(missed)} of {len(ratios)} promises kept in this run.")
    return 0


def prove(name: str, options: list[str]) -> int:
    """Print a proof by simulation."""
    from tests.pace import circle, findings_proof, forecast_proof, heating_proof

    every = {
        "forecast": forecast_proof,
        "heating": heating_proof,
        "findings-proof": findings_proof,
        "circle": circle,
    }
    every[name].main(options)
    return 0


if __name__ == "__main__":
    sys.exit(main())
