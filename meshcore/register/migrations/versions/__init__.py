"""The layouts, one file each."""
