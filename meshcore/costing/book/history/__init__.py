"""Versions of a price book: who changed what and when, and the way back."""
