"""Corrosion and heat: one method a file."""
