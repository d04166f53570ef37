"""Room: the shelves with their wheels, what each needs and when, its weight and its air."""
