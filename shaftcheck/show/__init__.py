"""Text and data out; nothing is computed here."""
