"""Named rules that rule an alloy out."""
