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
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

from tests.pace.journals import Journals
from tests.pace.ratio import Ratio

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
PARTS = {
    "window": "window",
    "reading": "reading",
    "opening": "opening",
    "places": "places",
    "compare": "comparing",
    "delimited": "delimited",
    "findings": "findings_pace",
    "probes": "sensors",
    "sums": "sums",
    "growth": "growth",
}
PROOFS = ("forecast", "heating", "findings-proof", "circle")


def main(argv: list[str] | None = None) -> int:
    """Run the measurements asked for and print a line each."""
    argv = sys.argv[1:] if argv is None else argv
    if argv and argv[0] in PROOFS:
        return prove(argv[0], argv[1:])
    parser = argparse.ArgumentParser(prog="pace", description=__doc__)
    names = ", ".join(PARTS)
    parser.add_argument("which", nargs="*", help=f"{names}; all by default. Else one of the proofs")
    parser.add_argument("--rounds", type=int, default=9, help="pairs of each (9)")
    parser.add_argument("--makes", type=int, default=1000, help="makes of the large journal (1000)")
    parser.add_argument("--keep", type=Path, metavar="FOLDER",
                        help="where the journals stay, to be written once")  # fmt: skip
    args = parser.parse_args(argv)
    unknown = set(args.which) - set(PARTS)
    if unknown:
        there = ", ".join([*PARTS, *PROOFS])
        parser.error(f"there is no {', '.join(sorted(unknown))}; there are {there}")
    with tempfile.TemporaryDirectory() as folder:
        journals = Journals(Path(folder), args.keep, args.makes)
        return measured(args.which or list(PARTS), journals, args.rounds)


def measured(names: Sequence[str], journals: Journals, rounds: int) -> int:
    """Measure, and print a line each."""
    lines: list[Ratio] = []
    for name in names:
        part = import_module(f"tests.pace.{PARTS[name]}")
        for line in part.measure(journals, rounds):
            print(line.line(), flush=True)
            if isinstance(line, Ratio):
                lines.append(line)
    promised = [line for line in lines if line.promise is not None]
    missed = [line for line in promised if not line.kept]
    for line in missed:
        print(f"Missed in this run: {line.what}.")
    print(f"{len(promised) - len(missed)} of {len(promised)} promises kept in this run.")
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
