"""Letters: from a buyer's message to enquiry lines, by words and rules that can be shown."""
