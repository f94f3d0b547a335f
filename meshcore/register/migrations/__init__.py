"""How the register came from each layout to the next (Alembic)."""
