"""The open sheet: a wheel whose name is known is chosen and scored."""
