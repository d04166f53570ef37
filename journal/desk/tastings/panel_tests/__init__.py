"""Panel tests: laid out, answered, lifted and read in a sentence; how many people they take."""
