"""What `tests/mutants.py` is made of: where a token can be changed, and which tests reach it."""
