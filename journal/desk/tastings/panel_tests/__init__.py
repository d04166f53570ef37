"""Panel tests: set up, answered, revealed and read in a sentence; how many people they take."""
