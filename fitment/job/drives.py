"""The usual drive of a screw or nut by its thread and head, where none is recorded.

What is found on a car wins over any standard: old heads (DIN 931/933) differ at M10, M12 and M14.
"""

from catalog.bolts import nominal_diameter

# thread -> mm across flats
ISO_272_HEX = {
    4: 7, 5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 18: 27, 20: 30, 22: 34, 24: 36,
}  # fmt: skip
# (table, how the drive is written, source)
STANDARDS = {
    # ISO 4014:2011 and ISO 4017:2014 Table 1, widths of ISO 272 (from memory)
    "hex": (ISO_272_HEX, "{} hex"),
    # ISO 4032 Table 1, widths of ISO 272 (from memory; sources differ at M14: 21 or 22)
    "nut": (ISO_272_HEX, "{} hex"),
    # EN 1665:1997 Table 1, heavy series (from memory)
    "hex_flange": ({5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 20: 30}, "{} hex"),
    # EN 1661:1997 Table 1 (from memory)
    "flange_nut": ({5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 20: 30}, "{} hex"),
    # ISO 4762:2004 Table 1 (from memory)
    "internal_hex": ({4: 3, 5: 4, 6: 5, 8: 6, 10: 8, 12: 10, 14: 12, 16: 14, 20: 17, 24: 19}, "{} internal hex"),
    # ISO 14579 Table 1 with the sockets of ISO 10664 (from memory)
    "internal_hexalobular": ({4: 20, 5: 25, 6: 30, 8: 45, 10: 50, 12: 55, 14: 60, 16: 70, 20: 90}, "T{}"),
}


def usual_drive(thread: str, head: str) -> str:
    """The drive that the head's standard gives a thread; empty where there is none (external hexalobular heads,
    taper nuts and wheel bolts are only as recorded).

    >>> usual_drive("M12x1.5", "hex_flange"), usual_drive("M8", "internal_hexalobular"), usual_drive("M8", "wheel_bolt")
    ('18 hex', 'T45', '')
    """
    table, form = STANDARDS.get(head, ({}, ""))
    diameter = nominal_diameter(thread)
    size = table.get(diameter) if diameter is not None else None
    return form.format(size) if size is not None else ""
