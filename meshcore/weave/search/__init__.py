"""The nearest cloth that can be woven."""
