"""Pricing rules run, and what they return checked."""
