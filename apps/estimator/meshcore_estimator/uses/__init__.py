"""From what the cloth is for to the specification that does it."""
