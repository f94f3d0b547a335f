"""What the site makes from the source: tables, references, the figure, and the check of links."""
