"""Compare: the open make among other makes of its plan."""
