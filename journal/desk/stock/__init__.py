"""Stock: ingredients and their lots, brines, living cultures, whey, and what went into a make."""
