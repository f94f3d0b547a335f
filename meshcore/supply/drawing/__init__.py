"""Cutting plans as pictures and as drawings for the cutter."""
