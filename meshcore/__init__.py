"""Estimating for industrial woven wire cloth."""
