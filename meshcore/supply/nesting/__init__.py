"""Pieces nested on cloth."""
