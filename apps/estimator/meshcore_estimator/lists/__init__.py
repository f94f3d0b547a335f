"""The page of an enquiry list."""
