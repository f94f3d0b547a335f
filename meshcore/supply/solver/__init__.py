"""Whole-number programmes that slitting and nesting share."""
