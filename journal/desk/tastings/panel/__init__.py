"""How good the panel is, said kindly."""
