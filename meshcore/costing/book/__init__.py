"""The price book: its rates, their units, and what is wrong with it."""
