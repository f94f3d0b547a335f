"""Tables of enquiries: headings, cells and what else a row says."""
