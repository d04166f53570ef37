"""What a command answers: text for a person, plain values for a program, an exit code."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Answer:
    """`text` as shown, `data` as JSON would hold it, and the exit code."""

    text: str
    data: Any = None
    code: int = 0


def give(answer: Answer, *, as_json: bool) -> int:
    """Write the answer to standard output; returns its exit code."""
    text = json.dumps(plain(answer.data), indent=2, allow_nan=False) if as_json else answer.text
    if text:
        sys.stdout.write(text + "\n")
        sys.stdout.flush()
    return answer.code


def plain(value: Any) -> Any:
    """The same with null in place of numbers that are none, at any depth."""
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if isinstance(value, dict):
        return {key: plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [plain(part) for part in value]
    return value


def aligned(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> str:
    """Rows of cells as lines with even columns; the columns in `right` are set to the right."""
    if not rows:
        return ""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(cells).rstrip())
    return "\n".join(lines)


def number(value: float | None, digits: int, unit: str = "", *, sign: bool = False) -> str:
    """A number for a person, a dash where there is none."""
    if value is None or not math.isfinite(value):
        return "–"
    text = f"{value:{'+' if sign else ''}.{digits}f}"
    if not text.strip("+-0."):
        text = text.lstrip("+-")
    return f"{text.replace('-', '−')} {unit}".rstrip()


def sentence(text: str) -> str:
    """What went wrong, on one line, with a full stop; a name that begins it stays as it is."""
    line = " ".join(text.split())
    return line if line.endswith((".", "?")) else f"{line}."
