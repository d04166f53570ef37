"""What each key means: the table that all keys come from."""

from __future__ import annotations

from dataclasses import dataclass

from journal.wording.languages import translated

EVERYWHERE, LISTS, VAT, PLANS = "Everywhere", "Several places", "Vat", "Plans"
AGEING, TASTINGS, COMPARE, FINDINGS = "Ageing", "Tastings", "Compare", "Findings"
PLACES_MOST = 9


@dataclass(frozen=True)
class KeyUse:
    """One meaning of a key: its name, its words, where it is met, its usual keys as Qt names them.
    One that is `fixed` stays as it is."""

    name: str
    english: str
    where: str
    keys: tuple[str, ...] = ()
    fixed: bool = False

    @property
    def title(self) -> str:
        """Its words in the language in use."""
        return translated(self.english)


def _of(where: str, *rows: tuple[str, str, str]) -> tuple[KeyUse, ...]:
    return tuple(KeyUse(name, title, where, tuple(keys.split())) for name, title, keys in rows)


# A letter for each care; weighing has its field.
CARE_LETTERS = {
    "turn": "T", "rub": "R", "brush": "B", "oil": "O", "bandage": "D", "wax": "W",
    "pierce": "P", "wrap": "F", "smoke": "K", "ash": "A", "vacuum": "U", "dry": "Y",
}  # fmt: skip
_TH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
_PARTS = ("Score a wheel", "Blind session; the stock, or the plans", "Panel tests",
          "How good is the panel")  # fmt: skip

# Settings hold these names, so some are older than our words: `keep_as` saves, `lift` reveals,
# `probes` are sensors, `turn_card` shows the next kind of proposal for the next make.
KEY_USES: tuple[KeyUse, ...] = (
    KeyUse("leave", "Leave, close, silence the alarm", EVERYWHERE, ("Esc",), fixed=True),
    *_of(
        EVERYWHERE,
        ("main", "The main act of the page", "Ctrl+Return"),
        ("larger_act", "The larger act of the page", "Ctrl+Shift+Return"),
        ("undo", "Undo", "Ctrl+Z"),
        ("redo", "Redo", "Ctrl+Shift+Z Ctrl+Y"),
        ("find", "Find anything", "Ctrl+K"),
        ("filter", "Filter the list", "Ctrl+F"),
        ("back", "Back", "Alt+Left"),
        ("menu", "Menu", "F10"),
        ("help", "Help", "F1"),
        ("keys", "Keyboard shortcuts", "Shift+F1"),
        ("settings", "Settings", "Ctrl+,"),
        ("change_keys", "Change the keys", ""),
        ("larger", "Larger text", "Ctrl++ Ctrl+="),
        ("smaller", "Smaller text", "Ctrl+-"),
        ("usual_size", "Usual text size", "Ctrl+0"),
        ("look_system", "System colours", ""),
        ("look_light", "Light colours", ""),
        ("look_dark", "Dark colours", ""),
        ("calculate", "Calculate", "Ctrl+Shift+C"),
        ("history", "History", "Ctrl+Shift+H"),
        ("bin", "Bin", ""),
        ("new", "New journal", "Ctrl+N"),
        ("open", "Open a journal", "Ctrl+O"),
        ("copy", "Save a copy of the journal", ""),
        ("backups", "Backups", ""),
        ("rescue", "Rescue a damaged journal", ""),
        ("bundle", "Bundle for another computer", ""),
        ("merge", "Merge another copy", ""),
        ("bring_readings", "Import readings", "Ctrl+I"),
        ("bring_makes", "Import past makes", "Ctrl+Shift+I"),
        ("probes", "Sensors", "Ctrl+Shift+P"),
        ("export", "Export everything", "Ctrl+E"),
        ("help_begin", "Begin here", ""),
        ("words", "Every word, explained", ""),
        ("about", "About Vatside", ""),
        ("quit", "Close the window", "Ctrl+Q"),
    ),
    *(KeyUse(f"place_{n}", f"Go to the {_TH[n - 1]} place", EVERYWHERE, (f"Ctrl+{n}",))
      for n in range(1, PLACES_MOST + 1)),
    *_of(
        LISTS,
        ("print", "Print, or save as PDF", "Ctrl+P"),
        ("save", "Save: the plan, the photo that came, the PDF", "Ctrl+S"),
        ("new_here", "Something new: a plan, a series", "Ctrl+Shift+N"),
        ("add_line", "Add a line", "Ctrl+Ins Ins"),
        ("correct", "Correct, edit", "F2"),
        ("delete", "Delete, strike out, leave out", "Del"),
        ("delete_line", "Delete the stage, the series, the row, the correction", "Ctrl+Del"),
        ("next", "The next view, part or kind", "F6"),
        ("unfold", "Unfold the day, every fact", "Ctrl+U"),
        ("order", "Order and columns", "Ctrl+Shift+O"),
        ("choose", "Choose another: a wheel, makes, a score, a defect", "Ctrl+J"),
        ("amount", "The amount of milk, the weight of a wheel", "Ctrl+M"),
        ("when", "Say when: a late reading, the day of a plan", "Ctrl+T"),
        ("note", "Write a note, instructions", "F7"),
        ("photo", "Add a photo", "Shift+F7"),
        ("from_paper", "Type in from paper", "Ctrl+Shift+K"),
        ("as_last_time", "Repeat the make with a change", "Ctrl+R"),
        ("to_send", "Save as a page to send", "Ctrl+Shift+E"),
        ("schedule", "Schedule of care", "Ctrl+Shift+A"),
        ("why", "Why was it so", "Ctrl+Shift+W"),
        ("values", "The values of a chart as a table", "Shift+Return"),
        ("record_history", "History of the record", ""),
        ("failed", "Mark as failed or abandoned", ""),
        ("not_failed", "Mark as not failed", ""),
    ),
    *(KeyUse(f"part_{n}", f"Part {n}: {words.lower()}", LISTS, (f"Alt+{n}",))
      for n, words in enumerate(_PARTS, 1)),
    *(KeyUse(f"act_{n}", f"The {_TH[n - 1]} line or act of the list", LISTS, (str(n),))
      for n in range(1, 10)),
    *_of(
        VAT,
        ("longer", "Let the stage run longer", "Ctrl+L"),
        ("how_long", "Make the stage longer or shorter", "Ctrl+Shift+L"),
        ("skip_next", "Skip the next stage", "Ctrl+PgDown"),
        ("skip", "Skip this stage", "Ctrl+Shift+PgDown"),
        ("again", "Restart the stage", "Ctrl+PgUp"),
        ("began", "Change when the stage began", "Ctrl+Shift+T"),
        ("times", "Times of all stages", ""),
        ("turn", "Record a turn", "F8"),
        ("flecks", "Record the rennet, then the first flecks", "F5"),
        ("timer", "Start a timer", "F9"),
        ("stop_timer", "Stop a timer", "Shift+F9"),
        ("before", "Before the start", "Ctrl+B"),
        ("ice", "Check the thermometer in ice water", "F4"),
        ("bath_ice", "Check the bath’s thermometer in ice water", "Ctrl+Shift+F4"),
        ("buffers", "Check the pH meter in two buffers", "Shift+F4"),
        ("bath", "Type the bath’s temperature", "Shift+F6"),
        ("happened", "What happened today", "F12"),
        ("other", "Show the other make", "F3"),
        ("across", "Large display, across the room", "F11"),
        ("next_hours", "The next hours in the chart", "Shift+F11"),
        ("used", "What was really used", ""),
        ("plan", "Another plan was meant", ""),
        ("delete_make", "Delete the make", ""),
    ),
    *_of(
        "Makes",
        ("tags", "Tags", "Ctrl+G"),
        ("undelete", "Undelete a make", ""),
        ("seasons", "Seasons on the timeline", ""),
    ),
    *_of(
        PLANS,
        ("keep_as", "Save the plan under another name", "Ctrl+Shift+S"),
        ("stage_up", "Move the stage up", "Alt+Up"),
        ("stage_down", "Move the stage down", "Alt+Down"),
        ("twice", "Duplicate the stage", "Ctrl+Shift+D"),
        ("next_fault", "Go to the next problem", "Shift+F8"),
        ("compare", "Show the changes from an earlier version", "Ctrl+H"),
        ("take_newer", "Update this plan to Vatside's newest", ""),
        ("discard_draft", "Discard the draft", ""),
        ("export_plan", "Export this plan", ""),
        ("import_plan", "Import a plan", ""),
    ),
    *_of(
        COMPARE,
        ("close_curves", "Close the curves", "Ctrl+Backspace"),
        ("line_up", "Line up at the next stage", "Ctrl+Shift+J"),
        ("line_up_here", "Line up at the stage under the pointer", "Ctrl+Shift+X"),
        ("copy_values", "Copy all values at this moment", "Ctrl+Shift+Y"),
        ("show_make", "Show this make in Makes", "Ctrl+Shift+M"),
        ("to_vat", "Go to its day at the vat", ""),
    ),
    *_of(
        AGEING,
        *((f"care_{kind}", f"Care: {kind}", letter) for kind, letter in CARE_LETTERS.items()),
        *((f"shelf_{kind}", f"Care of the whole shelf: {kind}", f"Shift+{letter}")
          for kind, letter in CARE_LETTERS.items()),
        ("list", "Show the wheels as a list, or on their shelves", "L"),
        ("move", "Move the wheel to a room", "V"),
        ("gone", "The wheel, or a part of it, left the shelf", "G"),
        ("parts", "All that left the shelves", "Shift+G"),
        ("record", "Record of the wheel, to correct it", "E"),
        ("air", "Temperature and humidity of the room", "C"),
        ("room_range", "Air wanted in the room", "Shift+C"),
        ("opening", "Which wheel to open on a day", "Q"),
        ("making", "When to make for wanted days", "Shift+Q"),
        ("wheel_schedule", "Schedule of the wheel", "S"),
        ("make_schedule", "Schedule of all wheels of the make", "Shift+S"),
        ("wheel_note", "Add a note to the wheel", "N"),
        ("photos", "Photos of all wheels", "Shift+N"),
        ("mark_rim", "Mark the rim in a photo", "M"),
        ("wheel_photo", "Add a photo of the wheel", "Alt+N"),
        ("paste", "Paste a photo or a note to the wheel", "Ctrl+V"),
        ("watch_photos", "Watch a folder for photos", ""),
        ("calendar_file", "Calendar file of the care to come", ""),
        ("away", "Days when nobody is there", "Shift+H"),
    ),
    *_of(
        TASTINGS,
        ("lift", "Reveal the samples", "Ctrl+Shift+R"),
        ("paste_answer", "Paste an answer from elsewhere", "Ctrl+Shift+V"),
        ("own_attribute", "An attribute of your own", "Ctrl+Shift+Ins"),
        ("join", "Add an assessor to the session", "Ctrl+Shift+G"),
        ("key", "The helper's key", "Ctrl+Shift+U"),
    ),
    *_of(
        FINDINGS,
        ("turn_card", "Next make: careful, bold, one change, best known plan", "Ctrl+F6"),
        ("best_known", "Best known plan", "Ctrl+Shift+B"),
        ("makes_a_year", "Set how many makes a year", ""),
        ("further_variables", "Further variables", "Ctrl+Shift+F"),
        ("table_findings", "Findings of a table, on a page of its own", ""),
        ("show_series", "Set up a series of makes, or show the current one", "Ctrl+D"),
    ),
)  # fmt: skip
