"""Live sensors in the window: setting a source up, its line in the vat, its readings kept."""
