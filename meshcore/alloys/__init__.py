"""Alloys: records, registry, corrosion methods, comparison."""
