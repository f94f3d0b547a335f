"""What follows an estimate: kept records, and bills."""
