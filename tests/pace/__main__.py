"""Measure the journal against bare baselines in the same run: `python -m tests.pace`.

Prints ratios, each with the promise it is held to. It is no test: a noisy machine would fail it.
`heating` prints what the ramp's advice was worth in simulated kitchens instead; it takes a while.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

from tests.pace.ratio import Ratio, show

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
PROOF = "heating"


def main(argv: list[str] | None = None) -> int:
    """Run the measurements asked for and print a line each."""
    parser = argparse.ArgumentParser(prog="pace", description=__doc__)
    names = "window, reading, opening, findings, probes; all by default. heating: its proof"
    parser.add_argument("which", nargs="*", help=names)
    parser.add_argument("--rounds", type=int, default=9, help="pairs of each (9)")
    parser.add_argument("--makes", type=int, default=1000, help="makes of the large journal (1000)")
    args = parser.parse_args(argv)
    from tests.pace import findings_pace, opening, probes, reading, window

    parts = {
        "window": window,
        "reading": reading,
        "opening": opening,
        "findings": findings_pace,
        "probes": probes,
    }
    unknown = set(args.which) - set(parts) - {PROOF}
    if unknown:
        there = ", ".join([*parts, PROOF])
        parser.error(f"there is no {', '.join(sorted(unknown))}; there are {there}")
    if PROOF in args.which:
        from tests.pace import heating_proof

        heating_proof.main([])
        args.which.remove(PROOF)
        if not args.which:
            return 0
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


if __name__ == "__main__":
    sys.exit(main())
