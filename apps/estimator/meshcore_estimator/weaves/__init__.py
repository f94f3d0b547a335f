"""Which weave is which: all seven side by side, with a model to turn."""
