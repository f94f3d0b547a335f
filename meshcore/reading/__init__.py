"""Every text that comes in: numbers, sizes, gauges, headings, cells; what was asked, as columns."""
