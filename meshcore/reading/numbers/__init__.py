"""Numbers in a text: every reading of the digits, and which one is meant."""
