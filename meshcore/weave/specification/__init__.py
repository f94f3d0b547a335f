"""Any two of count, pitch, aperture, wire and open area to the rest, and whether they agree."""
