"""The teach-back sheet: what it asks of whom, its fields, and how a try counts."""
