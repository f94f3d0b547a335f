"""Geometry of square mesh: complete it, judge it, draw it."""
