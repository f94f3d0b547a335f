"""Alloys side by side for a service."""
