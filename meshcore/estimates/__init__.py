"""From an enquiry table to its estimates, and what is asked of them."""
