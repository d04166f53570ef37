"""Compare: makes as ribbons under each other, and what was different of one."""
