"""The page of one enquiry."""
