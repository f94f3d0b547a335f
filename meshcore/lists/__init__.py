"""Enquiry lists in; priced lists and workbooks out."""
