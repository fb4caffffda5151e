"""Cutting: sheets, lengths, rolls and the sloped pan, with bounds that can be checked.

    sheets.py       the front door: what to buy, how to cut it, and the proof
    lengths.py      the same in one direction: bars, trims, battens
    records.py      what goes in and what comes out
    cut_file.py     the same as JSON; cut_schema.py its schema
    checker.py      checks plans and proofs, and trusts none of the rest;
                    checked_job.py and checked_proof.py are parts of it
    problem.py      a job made ready: alike pieces grouped, kerf added, numbers small
    greedy.py       pieces into free rectangles, edge to edge
    squeeze.py      ruin and recreate with a goal
    mixes.py        which sheets could be cheaper
    search.py       many starts, then cheaper mixes
    second_phase.py the same sheets with a larger leftover
    cut_list.py     from a packing to cuts in order
    bounds.py       areas and dual feasible functions: the number of sheets
    money_bound.py  prices on pieces: the money
    knapsack.py     the most valuable way to cut one sheet, exactly
    columns.py      patterns as unknowns: better plans, bounds by prices
    completion.py   can so many sheets be enough? asked exactly; blocks.py: of one sheet
    linear.py       the LP solver, distrusted; the only binary fractions here
    trees.py        patterns with pieces left out
    seams.py        how a wall larger than a sheet can be divided
    panels.py       which of these, with all walls and parts in view
    shapes.py       panels that are no rectangles
    rolls.py        membrane in strips, both ways, with laps and turn-ups
    bands.py        bands over corners and seams
    pan_*.py        the sloped pan, trimmed to its recess

All lengths are whole numbers in one unit a job; the answer is the same on every
machine for the same job, seed and budget.
"""
