"""The vat: the running make, what to do now, what is typed, and the day as a chart."""
