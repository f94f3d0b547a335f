"""The wire's path through the cloth: thickness, mass, tolerances, strength."""
