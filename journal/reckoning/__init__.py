"""The trade's sums: floats in, floats out.

Here: each formula of milk, curd, press and brine, with the unit in every parameter's name, its
range of validity and its source. Floats and numpy arrays only. Not here: units as typed
(quantities), files and tables (they are passed in), anything of Qt or SQL.
"""


class ReckoningError(ValueError):
    """An input no sum can take, with a sentence that says what would do."""
