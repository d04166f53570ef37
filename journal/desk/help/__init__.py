"""The help in the program: its window, and what opens it."""
