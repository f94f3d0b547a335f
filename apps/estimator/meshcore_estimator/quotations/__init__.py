"""Quotations: drafted, looked at, sent, won or lost; orders, labels, bills and repeats."""
