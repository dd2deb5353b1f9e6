"""The border: units, sizes, the shaft file, the woods."""
