"""Drawings as SVG text: one module, two styles, whole numbers only.

    style.py       the two styles, screen and print, and their line weights
    pen.py         a sheet to draw on: points, lines, lettering, hatches
    lettering.py   lengths, areas and money as they are lettered
    dimensions.py  dimension lines, chains of them, extension lines
    symbols.py     openings, drains, falls, heights, scale bars, key plans
    records.py     what a drawing of a surface shows, and how large
    chains.py      which sizes are dimensioned, on which side
    surface.py     a measured surface with its sizes
    pan.py         a sloped pan with its trim line, falls and strips
    setout.py      tile pieces on a surface with the chalk lines
    stock.py       whole sheets with the pieces cut from them
    charts.py      a range, shares of a sum, a course of values
    marks.py       marks of state and icons

Sizes come in as `Length` or ticks with x to the right and y up; on the sheet they
are whole hundredths of a pixel with y down. No floating point anywhere: a drawing
of equal records is equal text, byte for byte, on every machine.
"""

from __future__ import annotations
