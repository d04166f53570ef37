"""Care as people say it, understood: one line, a cell of it, or a whole schedule in one go.

"air dry 2 to 3 days at 16 °C, turn twice a day; cloth and fat; then turn weekly; taste at 3 and 6
months; eat from 6". A part without a day begins where the part before it ends; behind a comma it is
for the same days. "2 to 3 days" lasts at least two and at most three: what comes next begins after
two and is asked for until the end of the third. A month is `MONTH_DAYS`, rounded to whole days.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from journal.message import Message
from journal.quantities import QuantityError
from journal.quantities.numerals import read_number, tidy
from journal.quantities.typed import parse
from journal.records import RecordError
from journal.records.care_written import EAT, TASTE, AgeLine, CareLine, care_cell_text
from journal.records.dates import MONTH_DAYS
from journal.records.kinds import CARE_KINDS, ONCE_CARE
from journal.records.plans import UNTIL_GONE, CareRule
from journal.records.stage_written import kind_in

_UNIT = r"(?:(days?|d|weeks?|wks?|w|months?|mths?|years?|yrs?|hours?|hrs?|h)\b)"
_NUM = r"((?:\d+\s+)?\d+/\d+|\d+(?:[.,]\d+)?\s?[½¼¾]?|[½¼¾])"
_TO = r"\s*(?:to|until|till|through|or|-)\s*"
_AND = r"\s*(?:to|until|till|through|or|and|-)\s*"
_DAYS = {"d": 1.0, "w": 7.0, "m": MONTH_DAYS, "y": 365.25, "h": 1 / 24}
_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
           "twelve")  # fmt: skip
_COUNT = re.compile(
    rf"\b({'|'.join(_COUNTS)})\b(?=\s*(?:to|or|and|-|,|days?|weeks?|months?|times?))",
    re.IGNORECASE,
)
# The words that name a care, and those that do so and stay in its note.
_KINDS = {
    "dry": r"(?:leave (?:it |them )?to )?(?:air[- ]?)?dr(?:y|ying)\b(?: off)?",
    "turn": r"turn(?:s|ed|ing)?\b(?: (?:it|them|over))*",
    "rub": r"rub(?:s|bed|bing)?\b(?: (?:it|them))?",
    "brush": r"brush(?:es|ed|ing)?\b(?: (?:it|them))?",
    "oil": r"oil(?:s|ed|ing)?\b(?: (?:it|them))?",
    "bandage": r"bandag(?:e|es|ed|ing)\b(?: (?:it|them))?",
    "wax": r"wax(?:es|ed|ing)?\b(?: (?:it|them))?",
    "weigh": r"weigh(?:s|ed|ing)?\b(?: (?:it|them))?",
    "move": r"mov(?:e|es|ed|ing)\b(?: (?:it|them))?",
    "wrap": r"wrap(?:s|ped|ping)?\b(?: (?:it|them))?",
    "pierce": r"(?:pierc(?:e|es|ed|ing)|needl(?:e|es|ed|ing))\b(?: (?:it|them))?",
    TASTE: r"tast(?:e|es|ed|ing|ings)\b(?: (?:it|them))?",
    EAT: r"(?:(?:ready|ripe|good) to )?eat(?:en|ing)?\b(?: (?:it|them))?|ready\b|ripe\b",
}
_BY_WORDS = {"bandage": r"(?:in )?cloth\b", "rub": r"(?:wash|smear)(?:es|ed|ing)?\b"}
_PACES: tuple[tuple[str, float], ...] = (
    (r"(?:twice|two\stimes|2\stimes|2\s*x)\s(?:a|per|each|every)\sday", 0.5),
    (r"(?:three|3)\stimes\s(?:a|per|each|every)\sday", 1 / 3),
    (r"(?:once\s(?:a|per|each|every)\sday|daily|every\sday|each\sday|a\sday)", 1.0),
    (r"every\s(?:other|second|2nd)\sday", 2.0),
    (r"(?:twice|two\stimes|2\stimes|2\s*x)\s(?:a|per|each|every)\sweek", 3.5),
    (r"(?:three|3)\stimes\s(?:a|per|each|every)\sweek", 7 / 3),
    (r"(?:once\s(?:a|per|each|every)\sweek|weekly|every\sweek|each\sweek)", 7.0),
    (r"(?:fortnightly|every\s(?:other|second)\sweek|once\sa\sfortnight)", 14.0),
    (r"(?:once\s(?:a|per|each|every)\smonth|monthly|every\smonth|each\smonth)", 30.0),
)
_ONCE = 0.0  # "once"
_PACE_FIRST = re.compile("|".join(words for words, _ in _PACES) + r"|every\b", re.IGNORECASE)
_EVERY = re.compile(rf"\bevery\s+{_NUM}\s*{_UNIT}", re.IGNORECASE)
_THEN = re.compile(r"(?:and\s+)?(?:then|after\sthat|afterwards)\b[,:]?\s*", re.IGNORECASE)
_DEGREES = re.compile(
    r"(?:\b(?:at|to|in)\s+)?(-?\d+(?:[.,]\d+)?)\s*(°\s*[CF]?|deg(?:rees)?\s*[CF]?|[CF])(?![\w%])",
    re.IGNORECASE,
)
_AIR = re.compile(
    r"(?:\b(?:at|in|and)\s+)?(?:humidity\s+)?(\d+(?:[.,]\d+)?)\s*%(?!\s*(?:salt|brine))"
    r"(?:\s*(?:rh|humidity|damp)\b)?",
    re.IGNORECASE,
)
_LEAST_AIR = 30.0  # %; less is of a brine, not of the air
_FROM_AGE = rf"(?:(day|week|month)\s+{_NUM}|{_NUM}\s*{_UNIT})"
_SPANS = (
    ("for", rf"(?:for\s+)?{_NUM}(?:{_TO}{_NUM})?\s*{_UNIT}\s+from\s+{_FROM_AGE}"),
    ("between", rf"(?:from|between)\s+{_NUM}\s*{_UNIT}?{_AND}{_NUM}\s*{_UNIT}"),
    ("mixed", rf"from\s+{_FROM_AGE}{_TO}{_FROM_AGE}"),
    ("dayed", rf"(?:from\s+|between\s+|on\s+|at\s+|in\s+)?(day|week|month)s?\s+{_NUM}"
              rf"(?:{_AND}(?:(?:day|week|month)\s+)?{_NUM})?(\s+on(?:wards)?)?"),
    ("from", rf"(?:from|after)\s+{_NUM}\s*{_UNIT}?(?:\s+on(?:wards)?)?"),
    ("at", rf"(?:at|in)\s+{_NUM}\s*{_UNIT}(?:\s+old)?"),
    ("until", rf"(?:until|till|up\sto|(?<!\d)(?<!\d\s)to)\s+(?:(day|week|month)\s+)?{_NUM}"
              rf"\s*{_UNIT}?"),
    ("for", rf"(?:for\s+)?{_NUM}(?:{_TO}{_NUM})?\s*{_UNIT}"),
)  # fmt: skip
_LEFT_OVER = re.compile(rf"\d\s*{_UNIT}|^\W*{_NUM}\W*$", re.IGNORECASE)
_USUAL_PACE = {"turn": 1.0, "brush": 7.0, "rub": 7.0, "oil": 7.0, "weigh": 30.0}
_COMMA = re.compile(r",\s+(?:and\s+)?|\s+and\s+then\s+|\s+then\s+")
_EDGE = re.compile(
    r"^[\s,;.:]*(?:(?:and|for|at|with)\b[\s,;.:]*)*|[\s,;:]*\b(?:and|for|at)?[\s,;:.]*$"
)


@dataclass(frozen=True)
class CareRead:
    """What was typed as care: the lines it makes, what was made of them, and the parts that were
    not understood, as typed, with why the first was not."""

    lines: tuple[CareLine, ...] = ()
    message: tuple[Message, ...] = ()
    loose: str = ""
    why: Message | None = None


@dataclass(frozen=True)
class Ending:
    """When what comes next begins: on `first` at the earliest, asked for until `last` (days)."""

    first: float
    last: float


@dataclass(frozen=True)
class _When:
    """Days and pace as typed. `first` to `last` are ages; `least` and `most` a length of time
    instead; `every` is _ONCE for once, None where nothing was said."""

    first: float | None = None
    last: float | None = None
    least: float | None = None
    most: float | None = None
    every: float | None = None

    @property
    def is_given(self) -> bool:
        return not (self.first is None and self.last is None and self.least is None)


def ending(lines: Sequence[CareLine], begin: Ending) -> Ending:
    """When what follows these lines begins; `begin` where none of them is care. What is done while
    a wheel dries ends with the drying."""
    rules = [line for line in lines if isinstance(line, CareRule)]
    if not rules:
        return begin
    last = rules[-1]
    for rule in rules:
        if rule.kind == "dry" and (rule.from_day, rule.to_day) == (last.from_day, last.to_day):
            return Ending(min(rule.from_day + rule.every_days, rule.to_day), rule.to_day)
    end = last.from_day if last.goes_on else last.to_day
    return Ending(end, end)


def names_care(text: str) -> bool:
    """Whether a line that may be a stage as well is meant as care: it begins with a word of care
    that no stage has, or says days, weeks or months."""
    plain = _THEN.sub("", tidy(text), count=1)
    found = _kind(plain)
    if found is None:
        return False
    own = found[1].start() == 0 and kind_in(found[1][0]) is None
    return own or bool(re.search(rf"\d\s*{_UNIT}", _counted(plain)))


def read_schedule(text: str, before: Ending) -> CareRead:
    """Lines of care typed one after another, parted by ";" (or by commas and "then" where each
    part names a care); behind ": " stands a note as it is. A part that is not understood stands in
    `loose` and costs the others nothing."""
    lines = list[CareLine]()
    loose = list[tuple[str, Message]]()
    unit = ""
    for sentence in re.split(r";|\n|\.\s+(?=[A-Za-z])|\.$", tidy(text.replace("\n", ";"))):
        same: CareLine | None = None
        head, colon, note = sentence.partition(": ")
        parts = _clauses(head)
        for number, part in enumerate(parts, 1):
            try:
                made, unit = _clause(part, ending(lines, before), same, unit)
            except (RecordError, QuantityError) as error:
                loose.append((part, error.message))
                continue
            if colon and number == len(parts) and made.kind != EAT:
                made = replace(made, note=note.strip())
            lines.append(made)
            same = made
    message = tuple(_made(line) for line in lines)
    return CareRead(
        tuple(lines), message, "; ".join(p for p, _ in loose), loose[0][1] if loose else None
    )


def read_care_cell(column: str, text: str, line: CareLine | None, before: Ending) -> CareRead:
    """A line with a cell of it typed anew; words that are care of their own make lines behind it.

    Parameters
    ----------
    column : "stage" (the name, or all of it), "temp", "minutes" (when) or "what" (% and words)
    line : as it stands, None for a fresh one (which begins with its name)
    before : the end of the line before

    Raises
    ------
    RecordError
        With what was not understood and what would do.
    """
    try:
        if line is not None and text.strip() == care_cell_text(line, column):
            return CareRead((line,))
        if column == "stage":
            return _named(text, line, before)
        if line is None:
            raise RecordError("records.care-without-name")
        if column == "minutes":
            return _read_whole(_at(line, text, before))
        if isinstance(line, AgeLine):
            if column == "what" and line.kind == TASTE:
                return _read_whole(replace(line, note=" ".join(text.split())))
            if text.strip():
                raise RecordError("records.age-line-has-days-alone", kind=line.kind)
            return CareRead((line,))
        if column == "temp":
            celsius = (
                parse(text, "temperature", default_unit="degC").stored if text.strip() else None
            )
            return _read_whole(replace(line, room_c=celsius))
        return _care_typed(line, text)
    except QuantityError as error:
        raise RecordError(error.message) from None


def _read_whole(*lines: CareLine) -> CareRead:
    return CareRead(lines, tuple(_made(line) for line in lines))


def _named(text: str, line: CareLine | None, before: Ending) -> CareRead:
    """A name alone changes what the line is about; more is read as a line, or as several."""
    plain = tidy(text)
    found = _kind(plain)
    if found is not None and isinstance(line, CareRule) and found[0] not in (TASTE, EAT):
        alone = not _EDGE.sub("", plain[: found[1].start()] + plain[found[1].end() :])
        if alone:
            return _read_whole(replace(line, kind=found[0]))
    read = read_schedule(text, before)
    if not read.lines:
        raise RecordError(read.why or no_care_named(plain))
    return read


def _at(line: CareLine, text: str, before: Ending) -> CareLine:
    """The line at other days."""
    if isinstance(line, AgeLine):
        return AgeLine(line.kind, _ages_typed(line.kind, tidy(text), "")[0], line.note)
    rest, when, _ = _when(_counted(tidy(text)), "")
    if _EDGE.sub("", _THEN.sub("", rest)) or (
        not when.is_given and when.every is None and not _THEN.match(text)
    ):
        raise RecordError("records.when-not-understood", text=text)
    return replace(
        _rule(line.kind, when, before, None),
        note=line.note, room_c=line.room_c, room_humidity_pct=line.room_humidity_pct,
    )  # fmt: skip


def _care_typed(line: CareRule, text: str) -> CareRead:
    """The words of a line: the air's humidity, a note, and what is care of its own."""
    notes, air, own = list[str](), None, list[CareLine]()
    for part in (p.strip() for p in text.split(";")):
        humid = _AIR.fullmatch(part)
        if humid:
            air = parse(humid[1], "humidity").stored
            continue
        try:
            made = (
                _clause(part, ending([line], Ending(0, 0)), line, "")[0]
                if _tells_when(part)
                else None
            )
        except (RecordError, QuantityError):
            made = None
        if made is not None:
            own.append(made)
        elif part:
            notes.append(part)
    changed = replace(line, room_humidity_pct=air, note="; ".join(notes))
    return CareRead((changed, *own), tuple(_made(one) for one in own))


def _tells_when(text: str) -> bool:
    """It begins with a word of care and says how often or when: not only a note."""
    found, (_, when, _) = _kind(tidy(text)), _when(_counted(tidy(text)), "")
    return found is not None and found[1].start() == 0 and (when.is_given or when.every is not None)


def _clauses(sentence: str) -> list[str]:
    """A sentence's parts, each with its own care: "turn daily, then weigh weekly" is two, as is
    "turn daily for 2 weeks, then weekly"; "taste at 3, 6 and 9 months" is one."""
    parts = list[str]()
    last = 0
    for found in _COMMA.finditer(sentence):
        before, behind = sentence[last : found.start()], sentence[found.end() :]
        then = _THEN.match(behind)
        behind = behind[then.end() :] if then else behind
        kind = _kind(behind)
        own = kind is not None and not _EDGE.sub("", behind[: kind[1].start()])
        again = (then is not None or "then" in found[0]) and _PACE_FIRST.match(behind) is not None
        if (own or again) and _kind(before):
            parts.append(before)
            last = found.start() if "then" in found[0] else found.end()
    parts.append(sentence[last:])
    return [part.strip(" ,") for part in parts if part.strip(" ,.")]


def _kind(text: str) -> tuple[str, re.Match[str]] | None:
    """The kind of care a text names, the one named first, and where."""
    usual = {kind: rf"{kind}(?:s|d|ed|ing)?\b" for kind in CARE_KINDS if kind not in _KINDS}
    named = [(kind, words) for table in (_KINDS, _BY_WORDS, usual) for kind, words in table.items()]
    found = [
        (kind, match)
        for kind, words in named
        for match in [re.search(rf"\b(?:{words})", text, re.IGNORECASE)]
        if match is not None
    ]
    return min(found, key=_begin, default=None)


def _begin(found: tuple[str, re.Match[str]]) -> int:
    return found[1].start()


def _clause(part: str, before: Ending, same: CareLine | None, unit: str) -> tuple[CareLine, str]:
    """A line of care, and the unit its days were said in; `same` is what it is at the same time
    as where it says no days of its own."""
    text = _counted(tidy(part))
    then = _THEN.match(text)
    text = text[then.end() :] if then else text
    kind, rest = _kind_and_rest(text, same if then else None)
    if kind in (TASTE, EAT):
        days, unit = _ages_typed(kind, " ".join(rest.split()), unit)
        return AgeLine(kind, days), unit
    rest, celsius = _cut_degrees(rest)
    rest, air = _cut_air(rest)
    rest, when, unit = _when(rest, unit)
    rule = _rule(kind, when, before, None if then else same)
    note = _EDGE.sub("", " ".join(rest.split())).strip(" ,")
    if _LEFT_OVER.search(note):
        raise RecordError("records.when-not-understood", text=note)
    return replace(rule, note=note, room_c=celsius, room_humidity_pct=air), unit


def no_care_named(text: str) -> Message:
    """That a text says nothing of care, and what would."""
    return Message("records.no-care-named", text=text, offer=Message("records.care-offer"))


def _kind_and_rest(text: str, same: CareLine | None) -> tuple[str, str]:
    """The kind of care a part names and what else it says; where it says only how often, it is the
    care before it once more."""
    found = _kind(text)
    if found is None:
        if same is None or not _PACE_FIRST.match(text):
            raise RecordError(no_care_named(text))
        return same.kind, text
    kind, named = found
    stays = any(re.match(words, named[0], re.IGNORECASE) for words in _BY_WORDS.values())
    return kind, text if stays else f"{text[: named.start()]} {text[named.end() :]}"


def _rule(kind: str, when: _When, before: Ending, same: CareLine | None) -> CareRule:
    """The care of a kind at those days; what was not said is as usual."""
    if kind in ONCE_CARE and when.every:
        raise RecordError("records.care-given-once", kind=kind)
    first, last = before.first, None
    if when.first is not None:
        first, last = when.first, when.last
    elif when.last is not None:
        last = when.last
    elif when.least is None and isinstance(same, CareRule):
        first, last = same.from_day, same.to_day
    if when.least is not None and when.most is not None:
        if kind == "dry":
            return CareRule(kind, first, first + when.most, when.least)
        last = first + when.most
    once = kind in ONCE_CARE or when.every == _ONCE
    if when.every is None:
        once = once or kind == "pierce" or (when.first is not None and when.first == when.last)
    if last is None and once:
        last = first if when.first is not None else max(first, before.last)
    if kind == "dry":
        last = max(last or 0.0, first + 1)
        return CareRule(kind, first, last, last - first)
    if last is None:
        last = UNTIL_GONE
    every = when.every or _USUAL_PACE.get(kind, 7.0)
    if once:
        every = max(1.0, last - first + 1)
    return CareRule(kind, first, last, every)


def _ages_typed(kind: str, text: str, unit: str) -> tuple[tuple[float, ...], str]:
    """The ages of a tasting, or the least one to eat at, days: "at 3 and 6 months"."""
    plain = re.sub(
        r"^(?:(?:at|from|after|on|in|it|be|is)\b\s*)+", "", _counted(text), flags=re.IGNORECASE
    )
    parts = [p for p in re.split(r"\s*(?:,|\band\b|&|\bor\b)\s*", plain.strip(" .;")) if p]
    ages, pending = list[float](), list[float]()
    for part in parts:
        part = re.sub(r"^(?:at|from|after)\s+", "", part, flags=re.IGNORECASE)
        named = re.fullmatch(rf"(day|week|month|year)s?\s+{_NUM}", part, re.IGNORECASE)
        found = re.fullmatch(rf"{_NUM}\s*{_UNIT}?(?:\s+(?:old|on|onwards))?", part, re.IGNORECASE)
        if named:
            unit, size = named[1][0].lower(), read_number(named[2])[0]
            ages.append(_days(size, unit))
        elif found is None:
            raise RecordError("records.ages-not-understood", text=text, kind=kind)
        elif found[2]:
            unit = found[2][0].lower()
            ages += [_days(size, unit) for size in (*pending, read_number(found[1])[0])]
            pending = []
        else:
            pending.append(read_number(found[1])[0])
    if pending and not unit:
        raise RecordError("records.age-without-unit", text=text)
    ages += [_days(size, unit) for size in pending]
    if not ages:
        raise RecordError("records.ages-not-understood", text=text, kind=kind)
    if kind == EAT and len(ages) > 1:
        ages = [min(ages)]
    return tuple(ages), unit


def _when(text: str, unit: str) -> tuple[str, _When, str]:
    """The days and the pace that a text says, what is left of it, and the unit last used."""
    rest, every = _cut_pace(text)
    for how, words in _SPANS:
        found = re.search(rf"(?<![\w.,/]){words}(?![\w%°])", rest, re.IGNORECASE)
        if found is None:
            continue
        when, unit = _span(how, found, unit)
        left = f"{rest[: found.start()]} {rest[found.end() :]}"
        return left, replace(when, every=every), unit
    return rest, _When(every=every), unit


def _span(how: str, found: re.Match[str], unit: str) -> tuple[_When, str]:
    part = found.groups()
    if how == "between":
        unit = part[3][0].lower()
        low, high = _size(part[0], (part[1] or unit)[0]), _size(part[2], unit)
        return _When(first=low, last=high), unit
    if how == "mixed":
        low = _size(part[1], part[0][0]) if part[1] else _size(part[2], part[3][0])
        high = _size(part[5], part[4][0]) if part[5] else _size(part[6], part[7][0])
        return _When(first=low, last=high), unit
    if how == "dayed":
        unit = part[0][0].lower()
        low = _size(part[1], unit)
        from_on = found[0].lower().startswith("from") or part[3]
        last = _size(part[2], unit) if part[2] else None if from_on else low
        return _When(first=low, last=last), unit
    if how in ("from", "at"):
        unit = (part[1] or unit).lower()
        age = _size(part[0], unit)
        return _When(first=age, last=age if how == "at" else None), unit
    if how == "until":
        unit = (part[2] or part[0] or unit).lower()
        return _When(last=_size(part[1], unit)), unit
    unit = part[2][0].lower()
    least = _size(part[0], unit)
    most = _size(part[1], unit) if part[1] else least
    least, most = min(least, most), max(least, most)
    first = None
    if len(part) > 3:
        first = _size(part[4], part[3][0]) if part[4] else _size(part[5], part[6][0])
    return _When(first=first, least=least, most=most), unit


def _size(text: str, unit: str) -> float:
    number = read_number(text.strip())[0]
    if not unit:
        raise RecordError("records.age-without-unit", text=text)
    return _days(number, unit.lower())


def _days(number: float, unit: str) -> float:
    """Days of a number of days, weeks, months, years or hours; months and years to whole days."""
    days = number * _DAYS[unit[0]]
    return float(round(days)) if unit[0] in "my" else days


def _cut_pace(text: str) -> tuple[str, float | None]:
    for words, days in _PACES:
        found = re.search(rf"\b{words}\b", text, re.IGNORECASE)
        if found:
            return f"{text[: found.start()]} {text[found.end() :]}", days
    every = _EVERY.search(text)
    if every:
        days = _days(read_number(every[1].strip())[0], every[2][0].lower())
        if days <= 0:
            raise RecordError("records.when-not-understood", text=every[0])
        return f"{text[: every.start()]} {text[every.end() :]}", days
    once = re.search(r"\bonce\b", text, re.IGNORECASE)
    if once:
        return f"{text[: once.start()]} {text[once.end() :]}", _ONCE
    return text, None


def _cut_degrees(text: str) -> tuple[str, float | None]:
    found = _DEGREES.search(text)
    if found is None:
        return text, None
    unit = "degF" if "f" in found[2].lower().replace("deg", "") else "degC"
    celsius = parse(found[1], "temperature", default_unit=unit).stored
    return f"{text[: found.start()]} {text[found.end() :]}", celsius


def _cut_air(text: str) -> tuple[str, float | None]:
    found = _AIR.search(text)
    if found is None or read_number(found[1])[0] < _LEAST_AIR:
        return text, None
    return f"{text[: found.start()]} {text[found.end() :]}", parse(found[1], "humidity").stored


def _counted(text: str) -> str:
    """Small numbers in words as figures, where days, weeks, months or times follow."""
    return _COUNT.sub(_figure, re.sub(r"\ban?\s+(?=(?:day|week|month)\b)", _one, text))


def _one(found: re.Match[str]) -> str:
    before = found.string[: found.start()].rstrip().lower()
    return found[0] if re.search(r"(?:once|twice|times|x)$", before) else "1 "


def _figure(found: re.Match[str]) -> str:
    return str(_COUNTS.index(found[1].lower()) + 1)


def _made(line: CareLine) -> Message:
    """What was made of a line."""
    if isinstance(line, AgeLine):
        return Message("records.read-ages", kind=line.kind, days=line.days, note=line.note)
    return Message(
        "records.read-care",
        kind=line.kind, first=line.from_day, last=line.to_day, every=line.every_days,
        once=line.once, goes_on=line.goes_on, celsius=line.room_c, percent=line.room_humidity_pct,
        note=line.note,
    )  # fmt: skip
