"""The sentences of why a wheel is so: health first, and what cannot be asked."""

from __future__ import annotations

import difflib

from journal.wording.sentences import Messages, Values

_ASK = "Where you are not sure, ask your local food authority."


def _no_such_defect(values: Values) -> str:
    typed, known = values["defect"], values["known"]
    near = difflib.get_close_matches(typed.lower(), known, 3, 0.5) or sorted(known)[:8]
    return f"No cause is published here for “{typed}”. Words that have one: {', '.join(near)}."


WHY: Messages = {
    "findings.no-such-defect": _no_such_defect,
    "findings.health-gas": (
        "Gas can come from harmful bacteria, most of all within the first days. Do not taste a "
        "cheese that swelled or smells foul: throw it away. " + _ASK
    ),
    "findings.health-mould": (
        "A mould that you did not want may make toxins. Do not taste it, and throw a soft cheese "
        "away. " + _ASK
    ),
    "findings.health-slow-acid": (
        "This can come from unclean milk or from acid that came too late. A toxin that formed "
        "then stays for years and no heat or age removes it: do not eat a cheese whose curd did "
        "not sour in time. " + _ASK
    ),
    "findings.health-soft": (
        "Listeria can grow on a moist rind, in the cold too. Do not serve it to anyone who is "
        "pregnant, old, very young or ill. " + _ASK
    ),
    "findings.health-metal": (
        "Acid curd dissolves copper, zinc and lead. Do not eat it if it stood in such a vessel "
        "(common practice, no source). " + _ASK
    ),
    "findings.health-mites": (
        "Mites on a rind can cause itching and asthma. Brush it outdoors, away from people who are "
        "sensitive to dust."
    ),
    "findings.health-raw": (
        "The milk was {treatment}. Age is no proof that such a cheese is safe, and the rules on it "
        "differ: follow those of your place."
    ),
}
