"""What comes of a plan, in words below its table: the cheese, what cannot work, the night."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from journal.curves.fault import Fault
from journal.desk.labels import Label, WarningMark
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import SMALL, STEP
from journal.reckoning import ReckoningError
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.milk_yield import guessed_protein_pct
from journal.reckoning.standardise import ratio_add_kg
from journal.records.plan_expected import ExpectedCheese, expected, of_curd_pct
from journal.records.plans import Plan
from journal.wording import text_of
from journal.wording.keys import key_words
from journal.wording.letters import capital
from journal.wording.shown import size, write

_MOST = 4
_SAME_RATIO = 0.03  # a share that a label's rounding makes
# Of a carton's label (from memory).
_SKIM_FAT_PCT, _CREAM_FAT_PCT, _CREAM_PROTEIN_PCT = 0.1, 35.0, 2.2


class Outcome(QWidget):
    """Sentences under each other, those that want attention with a triangle."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[tuple[QWidget, WarningMark, Label]] = []
        column = in_column(of=self, margins=0, gap=STEP)
        for _ in range(_MOST):
            row = QWidget()
            line = in_row(of=row, margins=0, gap=2 * STEP)
            mark, words = WarningMark(), Label("", SMALL, wrap=True)
            line.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
            line.addWidget(words, 1)
            column.addWidget(row)
            self._rows.append((row, mark, words))

    def show_sentences(self, sentences: Sequence[tuple[bool, str]], most: int = _MOST) -> None:
        """Show these, (wants attention, sentence) each; what does not fit is counted."""
        shown = _fitting(list(sentences), most)
        for i, (row, mark, words) in enumerate(self._rows):
            row.setVisible(i < len(shown))
            if i < len(shown):
                mark.setVisible(shown[i][0])
                words.setText(shown[i][1])
        self.setAccessibleName(" ".join(text for _, text in shown))

    @property
    def sentences(self) -> list[str]:
        """What stands there."""
        return [words.text() for row, _, words in self._rows if not row.isHidden()]


def _fitting(sentences: list[tuple[bool, str]], most: int) -> list[tuple[bool, str]]:
    """As many as there is room for: the first always, then what wants attention, counted where
    it is too much."""
    if len(sentences) <= most:
        return sentences
    first, rest = sentences[:1], sentences[1:]
    marked = [one for one in rest if one[0]]
    room = most - len(first)
    if len(marked) <= room:
        quiet = [one for one in rest if not one[0]][: room - len(marked)]
        return first + [one for one in rest if one[0] or one in quiet]
    left = len(marked) - room
    shown = marked[:room]
    shown[-1] = (True, _counted(shown[-1][1], left))
    return [*first, *shown]


def _counted(sentence: str, left: int) -> str:
    """A sentence, and how many more there are."""
    return f"{sentence} {left} more, {key_words('next_fault')}." if left else sentence


def sentences_of(
    plan: Plan,
    litres: float,
    fat_pct: float | None,
    faults: Sequence[Fault],
    at_hand: int,
    others: Sequence[tuple[bool, str]],
) -> list[tuple[bool, str]]:
    """What comes of the plan; the faults of the current stage before those of others."""
    found = expected(plan, litres, fat_pct)
    out = [(False, cheese_words(plan, litres, fat_pct, found))]
    out += [(True, text_of(fault.message)) for fault in faults if fault.stage == at_hand]
    out += [
        (True, f"{_where(plan, fault)}: {text_of(fault.message)}")
        for fault in faults
        if fault.stage != at_hand
    ]
    out += [(True, text_of(warning)) for warning in found.warnings]
    standardise = standard_words(plan, litres, fat_pct)
    return out + ([(False, standardise)] if standardise else []) + list(others)


def standard_words(plan: Plan, litres: float, fat_pct: float | None) -> str:
    """What brings milk of that fat to the plan's protein to fat; "" where it is there, or nothing
    is known. The protein is guessed from the fat."""
    if plan.protein_fat is None or fat_pct is None or not 1.0 <= fat_pct <= 10.0:
        return ""
    protein = float(guessed_protein_pct(fat_pct))
    has, wants = protein / fat_pct, plan.protein_fat
    if abs(has / wants - 1) < _SAME_RATIO:
        return ""
    name, its_fat, its_protein = (
        ("skim milk", _SKIM_FAT_PCT, protein) if has < wants
        else ("cream of 35 % fat", _CREAM_FAT_PCT, _CREAM_PROTEIN_PCT)
    )  # fmt: skip
    kg = litres * MILK_KG_PER_L
    try:
        add = float(ratio_add_kg(kg, fat_pct, protein, its_fat, its_protein, wants))
    except ReckoningError:  # no amount of it does
        return ""
    return (
        f"Protein to fat is about {has:.2f}; the plan wants {wants:.2f}: stir in about "
        f"{write(add, 'mass', digits=1)} of {name}. {key_words('calculate')}, standardise "
        "milk, has it by its "
        "label."
    )


def cheese_words(plan: Plan, litres: float, fat_pct: float | None, found: ExpectedCheese) -> str:
    """The cheese, its wheel in the mould, the salt on it, and what was assumed."""
    cheese = write(found.cheese_kg, "mass", digits=2 if found.cheese_kg < 10 else 1)
    message = f"Curd about {cheese}"
    if plan.mould_mm is not None and found.height_mm is not None:
        mould, high = size(plan.mould_mm), f"{write(found.height_mm, 'length', digits=0)} high"
        several = f"for at least {found.moulds} moulds of {mould}, then {high}"
        message += f", a wheel {high} in {mould}" if found.moulds == 1 else f", {several}"
    doses = [d for s in plan.stages for d in s.doses]
    salt = sum(d.for_milk(litres) for d in doses if d.kind == "salt" and d.unit == "g")
    if salt:
        message += f"; salt {of_curd_pct(plan, salt, litres, fat_pct):.1f} % of it"
    return " ".join([f"{message}.", *(text_of(one) for one in found.assumed)])


def _where(plan: Plan, fault: Fault) -> str:
    if not 0 <= fault.stage < len(plan.stages):
        return "The plan"
    label = plan.stages[fault.stage].label
    return capital(label)
