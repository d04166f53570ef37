"""How much of the program the tests reach (`covered.py`), and what they notice (`mutants.py`)."""
