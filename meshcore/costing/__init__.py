"""Costing: price book, cost items, the rule pipeline."""
