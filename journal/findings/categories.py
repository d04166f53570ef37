"""Variables that are kinds, not numbers: whose milk, which animal, which lot, which rind.

Each becomes contrasts with the usual kind: "goat for cow" is 1 where it was goat's milk and 0
where it was not, and its effect is that of the one instead of the other. Which kind is usual is
read off how often it was made, never off the scores.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from journal.findings.table import Variable, snake
from journal.message import Message
from journal.records.whole import WholeMake

MOST_KINDS = 4
"""The most contrasts a variable may have; the rarest kinds beyond are taken together."""
ANOTHER = "another"
_RINDS = {"wax": "waxed", "vacuum": "sealed", "bandage": "bandaged", "smoke": "smoked",
          "ash": "ashed", "pierce": "pierced", "wrap": "wrapped", "oil": "oiled", "rub": "rubbed",
          "brush": "brushed"}  # the most telling first  # fmt: skip


@dataclass(frozen=True)
class Category:
    """A kind of a make: what it is called, and how it is read ("" where it is not known).

    Kinds of fewer makes than `least` are taken together as "another". Lots follow each other, so
    each wants as many makes as any range does; of animals there are few, and two makes begin.
    """

    name: str
    read: Callable[[WholeMake], str]
    least: int = 2


def _animal(make: WholeMake) -> str:
    return make.make.milk.animal


def _treatment(make: WholeMake) -> str:
    return make.make.milk.treatment


def _source(make: WholeMake) -> str:
    return make.make.milk.source.strip()


def _lot(make: WholeMake) -> str:
    return make.make.culture_lot.strip()


def _rind(make: WholeMake) -> str:
    """What was done to the rind, the most telling first; "" where no care was kept."""
    done = {care.kind for care in make.care}
    return next((word for kind, word in _RINDS.items() if kind in done), "")


CATEGORIES: tuple[Category, ...] = (
    Category("animal", _animal),
    Category("treatment", _treatment),
    Category("milk source", _source, 3),
    Category("culture lot", _lot, 5),
    Category("rind", _rind),
)


def category_columns(
    rows: Sequence[WholeMake],
) -> tuple[list[tuple[Variable, list[float]]], list[Message]]:
    """The contrasts of all categories over the rows (a make each, repeated for its wheels).

    A category known nowhere is left out; one with a single kind is there and never varied; one
    whose kinds have too few makes each is left out with a note (the second of the pair).
    """
    columns, notes = [], []
    for one in CATEGORIES:
        make, kind = _kinds(one, rows)
        found = contrasts(one.name, make, kind, one.least)
        kinds = len(set(kind) - {""})
        if kinds > 1 and not found:
            many = len(set(make))
            notes.append(
                Message("findings.too-few-of-a-kind", category=one.name, kinds=kinds, makes=many)
            )
        columns += found
    return columns, notes


def _kinds(one: Category, rows: Sequence[WholeMake]) -> tuple[list[str], list[str]]:
    known = {make.make.code: one.read(make) or own_text(make, one.name) for make in rows}
    return [make.make.code for make in rows], [known[make.make.code] for make in rows]


def own_text(make: WholeMake, name: str) -> str:
    """What a table of past makes said under that name, "" where nothing."""
    return next((e.text.strip() for e in make.entered if e.name == name and e.text), "")


def one_spelling(words: Sequence[str]) -> list[str]:
    """Words that differ in capitals and spaces alone as one, in the spelling met most."""
    plain = [" ".join(word.casefold().split()) for word in words]
    met: dict[str, Counter[str]] = {}
    for word, key in zip(words, plain, strict=True):
        met.setdefault(key, Counter())[word] += 1
    best = {key: count.most_common(1)[0][0] for key, count in met.items()}
    return [best[key] for key in plain]


def why_no_contrast(make: Sequence[str], words: Sequence[str]) -> Message:
    """Why words of makes cannot be compared: another in each, or too few makes of each."""
    known = {code: word for code, word in zip(make, words, strict=True) if word}
    kinds = len(set(known.values()))
    if kinds == len(known):
        return Message("findings.column-all-different")
    return Message("findings.column-too-few-of-each", kinds=kinds)


def contrasts(
    name: str,
    make: Sequence[str],
    kind: Sequence[str],
    least: int = 2,
    *,
    of_words: bool = False,
) -> list[tuple[Variable, list[float]]]:
    """The contrasts of one category with its usual kind.

    Parameters
    ----------
    name : str
    make, kind : sequences of str
        A make and its kind per row; "" where the kind is not known.
    least : int
        Makes a kind needs to be told.
    of_words : bool
        Whether the kinds are words of a table.

    Returns
    -------
    list of (Variable, values)
        1 where the row is of the kind, 0 where not, NaN where it is not known.
    """
    counted = Counter({m: k for m, k in zip(make, kind, strict=True) if k}.values())
    if not counted:
        return []
    ordered = [k for k, _ in sorted(counted.items(), key=_most_first)]
    usual = ordered[0]
    if len(ordered) == 1:
        variable = Variable(
            name, step=1.0, step_label=Message("findings.only-kind", kind=usual), of_words=of_words
        )
        return [(variable, [0.0 if k else float("nan") for k in kind])]
    if counted[usual] < least:
        return []
    own = [k for k in ordered[1:] if counted[k] >= least][:MOST_KINDS]
    rest = set(ordered[1:]) - set(own)
    if sum(counted[k] for k in rest) < least:
        rest = set()
    groups = [(k, {k}) for k in own] + ([(ANOTHER, rest)] if rest else [])
    known = {usual}.union(*(members for _, members in groups))
    found = [_contrast(name, usual, word, members, known, kind) for word, members in groups]
    return [(replace(variable, of_words=of_words), values) for variable, values in found]


def _contrast(
    name: str, usual: str, word: str, members: set[str], known: set[str], kind: Sequence[str]
) -> tuple[Variable, list[float]]:
    """One contrast; none for a kind that is too rare."""
    label = Message("findings.for-usual", usual=usual)
    variable = Variable(f"{name}: {word}", key=snake(f"{name} {word}"), step=1.0, step_label=label)
    return variable, [float(k in members) if k in known else float("nan") for k in kind]


def _most_first(counted: tuple[str, int]) -> tuple[int, str]:
    return -counted[1], counted[0]
