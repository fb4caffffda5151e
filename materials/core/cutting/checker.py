"""Check a cutting plan and the proof of its bound, without trusting the planner.

The checker reads the two records of the file command: what was asked for and what was
answered. It replays the cuts, counts the pieces and the money, and works the bound out
again from the certificate alone. It shares no code with the planner and an import
contract keeps it so. `checked_job.py` reads the job, `checked_proof.py` the proof.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from materials.core.cutting.checked_job import ACROSS, AskedJob, Record, number_of
from materials.core.cutting.checked_proof import bound_of

Box = tuple[Fraction, Fraction, Fraction, Fraction]


def faults(job: Record, answer: Record) -> list[str]:
    """Return what is wrong with an answer, one sentence a fault; none if all is well.

    Checks every cut, piece, leftover, count and sum, that the certificate gives the
    bound that is claimed, and that "proven" is said when and only when it is so.
    """
    asked = AskedJob.read(job)
    found: list[str] = []
    for at, sheet in enumerate(answer["sheets"]):
        kept = [row for row in answer["leftovers"] if row["sheet"] == at]
        found += [f"Sheet {at}: {text}" for text in _sheet(asked, sheet, kept)]
    found += _counts(asked, answer)
    found += _bounds(asked, answer)
    return found


def _box(asked: AskedJob, row: Record) -> Box:
    if asked.flat:
        return number_of(row["x"]), Fraction(0), number_of(row["length"]), ACROSS
    x, y, width, height = (number_of(row[key]) for key in ("x", "y", "width", "height"))
    return x, y, width, height


def _sheet(asked: AskedJob, sheet: Record, kept: list[Record]) -> list[str]:
    """Replay one sheet's cuts and match what is left with what is listed."""
    stock = next((row for row in asked.stock if row.name == sheet["stock"]), None)
    if stock is None:
        return [f"there is no stock “{sheet['stock']}”."]
    whole = (Fraction(0), Fraction(0), stock.width, stock.height)
    parts: list[Box | None] = [whole]
    for cut in sheet["cuts"]:
        number, axis, at = cut["part"], cut["axis"], number_of(cut["at"])
        box = parts[number] if 0 <= number < len(parts) else None
        if box is None:
            return [f"part {number} is not there to be cut."]
        along = {"x": 0, "y": 1}[axis]
        start, end = box[along], box[along] + box[2 + along]
        if not start < at < end:
            return [f"the cut at {at} misses part {number}."]
        parts[number] = None
        near, far = list(box), list(box)
        near[2 + along] = at - start
        far[along], far[2 + along] = at + asked.kerf, end - at - asked.kerf
        made = [near, far] if far[2 + along] > 0 else [near]
        if any(part[2 + along] < asked.snap for part in made):
            return [f"the cut at {at} leaves a strip that cannot be snapped off."]
        parts += [(part[0], part[1], part[2], part[3]) for part in made]
    ends = Counter(part for part in parts if part is not None)
    text = []
    for row in sheet["pieces"]:
        box = _box(asked, row)
        text += _piece(asked, row, box)
        if not ends[box]:
            text.append(f"piece “{row['name']}” is no part that the cuts leave.")
        ends[box] -= 1
    return text + _leftovers(asked, kept, ends)


def _piece(asked: AskedJob, row: Record, box: Box) -> list[str]:
    piece = next((one for one in asked.pieces if one.name == row["name"]), None)
    if piece is None:
        return [f"nobody asked for “{row['name']}”."]
    turned = bool(row.get("turned", False))
    if turned and not piece.turn:
        return [f"piece “{piece.name}” may not be turned."]
    wanted = (piece.height, piece.width) if turned else (piece.width, piece.height)
    if box[2:] != wanted:
        return [f"piece “{piece.name}” has the wrong size."]
    return []


def _leftovers(asked: AskedJob, kept: list[Record], ends: Counter[Box]) -> list[str]:
    text = []
    for row in kept:
        box = _box(asked, row)
        if not ends[box]:
            text.append(f"leftover at {row['x']} is no free part.")
        ends[box] -= 1
        if not _is_kept(asked, box):
            text.append(f"leftover at {row['x']} is too small to be kept.")
    if any(count > 0 and _is_kept(asked, box) for box, count in ends.items()):
        text.append("a part worth keeping is not listed.")
    return text


def _is_kept(asked: AskedJob, box: Box) -> bool:
    if asked.leftover is None:
        return False
    if asked.flat:
        return box[2] >= asked.leftover[0]
    return min(box[2:]) >= min(asked.leftover) and max(box[2:]) >= max(asked.leftover)


def _counts(asked: AskedJob, answer: Record) -> list[str]:
    placed = Counter(
        row["name"] for sheet in answer["sheets"] for row in sheet["pieces"]
    )
    used = Counter(sheet["stock"] for sheet in answer["sheets"])
    text = [
        f"“{one.name}” is cut {placed[one.name]} times, not {one.count}."
        for one in asked.pieces
        if placed[one.name] != one.count
    ]
    text += [
        f"there are only {one.count} of “{one.name}”."
        for one in asked.stock
        if one.count is not None and used[one.name] > one.count
    ]
    cost = sum(used[stock.name] * stock.price for stock in asked.stock)
    bought = sum(used[stock.name] for stock in asked.stock if stock.price)
    if number_of(answer["cost"]) * 100 != cost:
        text.append(f"the cost is {cost} minor units, not {answer['cost']}.")
    if answer["bought"] != bought or answer["used"] != len(answer["sheets"]):
        text.append("the numbers of sheets do not add up.")
    return text


def _bounds(asked: AskedJob, answer: Record) -> list[str]:
    """Compare what is claimed with what the certificate proves."""
    claim = answer["lower_bound"]
    cost = number_of(answer["cost"]) * 100
    claimed = number_of(claim["cost"]) * 100
    counting = len(asked.stock) == 1 and asked.stock[0].count is None
    text = []
    met = claim["sheets"] == answer["used"] if counting else claimed == cost
    if bool(answer["proven"]) != met:
        text.append("“proven” does not say what bound and plan say.")
    if claimed > cost or (counting and claim["sheets"] > answer["used"]):
        text.append("the bound is above the plan.")
    proof = bound_of(job=asked, certificate=answer["certificate"])
    if proof is None:
        return text
    proved_cost, proved_sheets = proof
    if claimed > proved_cost:
        text.append(f"the certificate proves {proved_cost} minor units, not {claimed}.")
    if counting and claim["sheets"] > proved_sheets:
        text.append(f"the certificate proves {proved_sheets} sheets only.")
    return text
