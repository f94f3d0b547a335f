"""Names of the columns that a list may have besides those of an enquiry."""

#: Column that tells the orders of a list apart; without it the list is one order.
ORDER = "order"
#: Columns that are no enquiry columns themselves, and fill some: a unit of measure, sizes of
#: whatever form, and one cell that describes the whole line.
UOM, SIZE, DESCRIPTION = "uom", "size", "description"
#: Columns of the sizes of round pieces, which make their dimensions.
OUTER, INNER = "outer_diameter", "inner_diameter"
#: Column of the unit of a size, behind it → the size.
UNIT_OF = {
    f"{size}_unit": size
    for size in ("mesh_count", "pitch", "aperture", "wire_diameter", "width", "length")
}
