"""Sizes, counts, gauges and amounts, each from one text."""
