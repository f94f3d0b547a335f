"""Plan and section of cloth to scale."""
