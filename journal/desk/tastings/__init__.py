"""Tastings: a wheel, who tastes it, and what they give it, typed number by number."""
