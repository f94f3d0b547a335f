"""Cloth as a solid: centre lines of its wires, their surfaces, and files to look at it in."""
