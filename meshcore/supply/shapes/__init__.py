"""Pieces: their outlines from words, sizes and drawings."""
