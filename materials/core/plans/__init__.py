"""Plans for needs: what is cut from which sheet, roll or length, and where it goes.

    records.py   one form for all: stock, cuts, numbered pieces, where each one lies
    words.py     how good a plan is, in a sentence
    edges.py     profiles from whole lengths
    strips.py    membrane in strips from whole rolls
    bands.py     bands over corners and seams, from a mix of rolls
    boards.py    boards: seams and cutting chosen together; board_panels.py their
                 panels, board_sheets.py the sheet, board_records.py problems and plans
                 as text, board_search.py the deeper search
    seams.py     seams between boards, and folds
    runs.py      what is banded
    racked.py    kept pieces as stock beside new
    pooling.py   needs of one material made one

They stand between the kinds, which know materials, and `cutting`, which knows numbers.
"""
