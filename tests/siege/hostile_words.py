"""What hostile input is made of, by the door it comes in at."""

from __future__ import annotations

# At every door.
ODD = (
    "\0", "\ufeff", "\u200f", "\u202e", "\r", "\n", "\r\n", "\t", '"', "'", "=", "@", "<b>",
    "&lt;", "<img src=x>", "½", "²", "١٢", "3", "−", "\ud7ff", "\U0001f9c0", "\u0301" * 9, "{",
    "[", "]", "}", "nan", "inf", "-inf", "1e400", "-1e400", "1e-400", "0x1f", "1_000", "9" * 400,
    "9" * 5000, "0000-00-00", "0001-01-01", "9999-12-31 23:59:59", "99999-01-01",
    "2026-03-29 02:30", "2026-10-25 02:30", "2026-02-30", "24:00", "25:61", "23:59:60", "+99:99",
    "1,234", "1.234,5", "..", "../../x", "%s%n", "{0}", "$(x)", "\\", "\x1f", "\x7f", "\x85",
    "\u2028", "NULL", "true",
)  # fmt: skip
TABLE = (
    "Time,Temp (°C),pH\n", "Date;Salt;Overall\n", "Zeit\tTemp\n", "sep=;\n", ",", ";", "\t", "\n",
    "2026-05-12 18:00,31.4,6.5\n", "2026-05-12 18:01:30,31.5,6.4\n", "14.3.2026;1,8;7,5\n",
    "0:05:00,31\n", "1715536800,88 °F\n", "1715536800000,31,4\n", "12/05/24 6:01 PM,31\n",
    "vat,31.4\n", "Sensor,Value,Time\n", "room,12,2026-05-12 18:00\n", "Total,1,2\n", "31.4", "",
)  # fmt: skip
TYPED = (
    "31.4", "31,4", " °C", "88 F", "1 1/2", " tsp", "2 h 30 min", "1:30", "pH 5.42", " and ", "; ",
    ", ", "+", " kg", " of ", "30 min", "turn every ", "then ", "do ", "until ", " for ",
    "39 °C in 30 min", " per ", "rennet ", "culture ", "0.02 g/L", "draw ", "water ", "whey", " ",
    "5 × 30 min", "press ", "(", ")", "a",
)  # fmt: skip
TIME = (
    "11:20", "02:30", "2026-10-25", "T", "02:30+01:00", "14 March 2026", "Sat 14 Mar", "today",
    "yesterday", "in 2 weeks", "March 2027", "03/2027", " ", "at ", "start ", "end ",
    "out of the press by ", "06:30", "Z", "first", "second", ",", ".", "am", "pm", "9999", "0001",
    "-", ":", "+",
)  # fmt: skip
SHEET = (
    "<?xml version='1.0'?>", '<!DOCTYPE x [<!ENTITY e "boom">]>', "&e;", "<worksheet>",
    "<sheetData>",
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>',
    "</sheetData></worksheet>", '<row r="3">', "<row>", "</row>", '<c r="A1" t="s">', "<c>",
    "</c>", "<v>", "</v>", '<c t="inlineStr"><is><t>', "</t></is></c>", "<v>46000</v>",
    '<c r="XFD1048576"/>', '<c r="ZZZZZZ9"/>', '<row r="-1">', '<row r="99999999999999999999">',
    '<dimension ref="A1:XFD1048576"/>', "<sst><si><t>", '<c t="d"><v>2026-13-45</v></c>',
    '<c s="999"><v>1</v></c>', '<c t="e"><v>#DIV/0!</v></c>',
)  # fmt: skip
JSON = (
    '{"sensor": {"temp": 31.4}, "at": 1792900000}', '{"sensor": {"temp": "', '"}, "at": "', '"}',
    "[", "{", '{"a":', "]", "}", "31.4", "31,4 °C", "88 F", "1e400", "NaN", "Infinity", "-0",
    '"2026-10-25T02:30"', ":", ",", "null", "true", '{"a": [31.4], "n": 1}',
)  # fmt: skip
PATTERN = (
    "(", ")", "*", "+", "?", "{2,9}", "{0,999}", "[", "]", "^", "$", "|", "a", r"\d", r"\S", ".",
    "T=", "(a+)+b", "(?:", "(?i)", "(?=", r"\1", "(.*)*", "\n", "T=31.4",
    "aaaaaaaaaaaaaaaaaaaaaaaa", "([0-9.]+)",
)  # fmt: skip
PLAN = (
    "form = 1\n", 'name = "x"\n', "[[stage]]\n", 'kind = "warm"\n', 'length = "30 min"\n',
    "[stage.gate]\n", "[[stage.dose]]\n", 'amount = "0.02 g/l"\n', "[[care]]\n", "a = ", "[", "]",
    "{", "}", '"""', "'''", "a.b.c = 1\n", "# x\n", "= ", '"', "1979-05-27T07:32:00Z\n", "0xff\n",
    "inf\n",
)  # fmt: skip
