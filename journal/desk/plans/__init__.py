"""Plans: pick one, set the milk, see what the day will be, start the make."""
