"""Whole visits to try things on, as documents of the visit file: plain dictionaries.

Each function returns a fresh one; keyword arguments replace top-level fields. The
products, their makers and their prices are invented.
"""

from __future__ import annotations

import copy
from typing import Any

Document = dict[str, Any]


def _price(amount: str, start: str = "2026-01-05") -> list[Document]:
    return [{"valid_from": start, "amount": amount, "origin": "price list 2026"}]


def _pack(label: str, content: str, amount: str, **more: Any) -> Document:
    return {
        "label": label,
        "content": content,
        "supplier": "Harrow Yard Tile Supply",
        "prices": _price(amount),
        **more,
    }


def _material(code: str, kind: str, name: str, **more: Any) -> Document:
    return {"code": code, "kind": kind, "name": name, "source": "maker's sheet", **more}


def an_imperial_price_list() -> Document:
    """Return a short price list in feet and inches, US dollars."""
    wet = ["splash", "wet", "heated"]
    materials = [
        _material(
            "KB-12", "backer_board", "Keelback board ½",
            facts={"width": "36", "length": "60", "thickness": "1/2", "core": "cement"},
            suited_to=wet, packs=[_pack("sheet 3 × 5 ft", "1", "17.85")],
        ),
        _material(
            "FS-114", "fixing", "Board screws 1¼",
            facts={"spacing": "8", "edge_spacing": "3/8"}, suited_to=wet,
            packs=[_pack("box of 185", "185", "11.40")],
        ),
        _material(
            "LM-2", "membrane", "Tidemark liquid seal",
            facts={"form": "liquid", "per_coat": "0.6", "coats": "2", "loss": "5 %"},
            suited_to=wet,
            packs=[
                _pack("1 gal pail", "5.4", "62.00"),
                _pack("3½ gal pail", "18.9", "188.00"),
            ],
        ),
        _material(
            "BN-5", "membrane", "Corner band 5 in",
            facts={"form": "band", "lap": "2"}, suited_to=wet,
            packs=[_pack("roll 33 ft", "33 ft", "21.50")],
        ),
        _material(
            "PN-4060", "foam_pan", "Slipway pan 40 × 60",
            facts={
                "form": "linear", "width": "60", "depth": "40", "thin": "3/4",
                "thick": "2", "strip": "0", "mass": "2.4",
            },
            suited_to=wet, packs=[_pack("each", "1", "214.00", special_order=True)],
        ),
        _material(
            "PN-4872", "foam_pan", "Slipway pan 48 × 72",
            facts={
                "form": "linear", "width": "72", "depth": "48", "thin": "3/4",
                "thick": "2 1/4", "strip": "0",
            },
            suited_to=wet, packs=[_pack("each", "1", "268.00", special_order=True)],
        ),
        _material(
            "DR-32", "linear_drain", "Gutter drain",
            facts={"form": "linear", "length": "54", "width": "3", "cut_to_fit": "yes"},
            suited_to=wet, packs=[_pack("each", "1", "176.00")],
        ),
        _material(
            "AD-50", "mortar", "Firmset adhesive",
            facts={
                "use": "adhesive", "coverage_area": "85 sq ft", "coverage_of": "50 lb",
                "thickness_min": "3/32", "class_code": "C2TE",
            },
            suited_to=wet,
            packs=[
                _pack("50 lb bag", "50 lb", "24.60"),
                _pack("25 lb bag", "25 lb", "15.20"),
            ],
        ),
        _material(
            "LV-50", "mortar", "Flatwater leveller",
            facts={"use": "leveller", "litres_per_kg": "0.6", "thickness_min": "1/8"},
            packs=[_pack("50 lb bag", "50 lb", "33.90")],
        ),
        _material(
            "TL-412", "tile", "Harbour white 4 × 12",
            facts={
                "length": "11 15/16", "width": "3 15/16", "thickness": "5/16",
                "joint": "1/16", "loss": "2 %",
            },
            suited_to=[*wet, "near_heat"], one_lot=True,
            packs=[_pack("box of 33", "33", "38.50")],
        ),
        _material(
            "TL-1224", "tile", "Causeway grey 12 × 24",
            facts={
                "length": "23 5/8", "width": "11 13/16", "thickness": "3/8",
                "joint": "1/8", "slip": "DCOF 0.44", "loss": "3 %",
            },
            suited_to=wet, one_lot=True, packs=[_pack("box of 8", "8", "61.20")],
        ),
        _material(
            "MS-2", "tile", "Pebble mosaic 2 in",
            facts={
                "length": "11 7/8", "width": "11 7/8", "thickness": "1/4",
                "joint": "1/8", "chip_length": "1 7/8", "chip_width": "1 7/8",
                "slip": "DCOF 0.55", "loss": "5 %",
            },
            suited_to=wet, one_lot=True,
            packs=[_pack("box of 10 sheets", "10", "92.00")],
        ),
        _material(
            "GR-10", "grout", "Millrace grout, fine",
            facts={"density": "1.6", "joint_min": "1/16", "joint_max": "1/8"},
            suited_to=[*wet, "near_heat"], packs=[_pack("10 lb bag", "10 lb", "16.75")],
        ),
        _material(
            "GR-25", "grout", "Millrace grout, sanded",
            facts={"density": "1.58", "joint_min": "1/8", "joint_max": "1/2"},
            suited_to=wet, packs=[_pack("25 lb bag", "25 lb", "27.30")],
        ),
        _material(
            "SL-10", "sealant", "Millrace sealant",
            facts={"joint": "1/8", "depth": "1/4"}, suited_to=[*wet, "near_heat"],
            packs=[_pack("10.1 fl oz tube", "10.1 fl oz", "9.80")],
        ),
        _material(
            "PF-8", "profile", "Edge profile, satin",
            facts={"length": "98 1/2", "height": "5/16"}, suited_to=[*wet, "near_heat"],
            packs=[_pack("length", "1", "18.40")],
        ),
    ]  # fmt: skip
    return {
        "currency": "USD",
        "suppliers": [
            {"name": "Harrow Yard Tile Supply", "delivery_charge": "45.00"},
        ],
        "materials": materials,
    }


def a_metric_price_list() -> Document:
    """Return a short price list in millimetres, pounds sterling."""
    wet = ["splash", "wet", "heated"]
    materials = [
        _material(
            "CB-10", "backer_board", "Keelback board 10",
            facts={"width": "800", "length": "1200", "thickness": "10"},
            suited_to=wet, packs=[_pack("sheet", "1", "14.20")],
        ),
        _material(
            "SM-1", "membrane", "Tidemark sheet",
            facts={"form": "sheet", "roll_width": "1000", "lap": "50"},
            suited_to=wet, packs=[_pack("roll 10 m", "10", "96.00")],
        ),
        _material(
            "AD-20", "mortar", "Firmset adhesive",
            facts={"use": "adhesive", "litres_per_kg": "0.8", "thickness_min": "2"},
            suited_to=wet, packs=[_pack("20 kg bag", "20", "19.50")],
        ),
        _material(
            "PR-1", "mortar", "Groundsel primer",
            facts={
                "use": "primer", "coverage_area": "8 m2", "coverage_of": "1 kg",
                "loss": "0",
            },
            packs=[_pack("5 kg can", "5", "31.00"), _pack("1 kg can", "1", "8.90")],
        ),
        _material(
            "LV-25", "mortar", "Flatwater leveller",
            facts={"use": "leveller", "litres_per_kg": "0.6"},
            packs=[_pack("25 kg bag", "25", "23.75")],
        ),
        _material(
            "FT-60", "tile", "Causeway 600 × 600",
            facts={
                "length": "597", "width": "597", "thickness": "9", "joint": "3",
                "slip": "R10", "loss": "3 %",
            },
            suited_to=wet, one_lot=True, packs=[_pack("box of 4", "4", "58.40")],
        ),
        _material(
            "WT-20", "tile", "Harbour white 100 × 200",
            facts={
                "length": "197", "width": "97", "thickness": "7", "joint": "3",
                "loss": "2 %",
            },
            suited_to=[*wet, "near_heat"], one_lot=True,
            packs=[_pack("box of 50", "50", "27.00")],
        ),
        _material(
            "GR-5", "grout", "Millrace grout",
            facts={"density": "1.6", "joint_min": "2", "joint_max": "8"},
            suited_to=[*wet, "near_heat"],
            packs=[_pack("5 kg bag", "5", "12.60"), _pack("2 kg tub", "2", "7.20")],
        ),
        _material(
            "SL-31", "sealant", "Millrace sealant",
            facts={"joint": "5", "depth": "5"}, suited_to=[*wet, "near_heat"],
            packs=[_pack("310 ml tube", "310", "8.40")],
        ),
        _material(
            "PF-25", "profile", "Edge profile, satin",
            facts={"length": "2500", "height": "8"}, suited_to=[*wet, "near_heat"],
            packs=[_pack("length", "1", "14.90")],
        ),
    ]  # fmt: skip
    return {
        "currency": "GBP",
        "suppliers": [{"name": "Harrow Yard Tile Supply"}],
        "materials": materials,
    }


def _rates(**more: Any) -> Document:
    return {
        "setter_wage": "46.00",
        "helper_wage": "29.00",
        "overhead_per_hour": "11.50",
        "hours_per_day": "8",
        "travel_per_visit": "35.00",
        "method": "markup",
        "materials_rate": "15 %",
        "labour_rate": "25 %",
        "other_rate": "10 %",
        "contingency": "5 %",
        "minimum_charge": "250.00",
        **more,
    }


def a_shower(**changes: Any) -> Document:
    """Return a small recess with a pan to trim, three walls and a niche; inches."""
    wall = "wet_wall"
    document: Document = {
        "format": "gaugerod-visit",
        "version": 1,
        "unit": "in",
        "id": "visit-elm-shower",
        "title": "Shower recess, Elm Row",
        "currency": "USD",
        "measured_on": "2026-03-04",
        "client": {"name": "Mrs Okafor", "email": "okafor@example.org"},
        "site": {
            "address": "14 Elm Row\nSaltmarsh",
            "access": {"width": "29 1/2", "height": "79", "turning": "62"},
            "storey": 1,
            "built": 1987,
            "substrate": "studs at 16 in",
        },
        "spaces": [
            {
                "id": "shower",
                "name": "Shower",
                "surfaces": [
                    {
                        "id": "pan",
                        "name": "floor",
                        "role": "recess",
                        "exposure": "wet",
                        "use": "barefoot_wet",
                        "build_up": "shower_floor",
                        "shape": {
                            "kind": "rectangle",
                            "width": "56 1/4",
                            "height": "37 3/8",
                        },
                        "edges": ["wall", "wall", "threshold", "wall"],
                        "drain": {
                            "kind": "linear",
                            "side": 0,
                            "from": "1 1/8",
                            "length": "54",
                        },
                        "lowest": "3/4",
                        "slope": {"min": "1/48", "max": "1/24"},
                    },
                    {
                        "id": "back",
                        "name": "back wall",
                        "role": "wall",
                        "exposure": "wet",
                        "build_up": wall,
                        "shape": {
                            "kind": "rectangle",
                            "width": "56 1/4",
                            "height": "91 1/2",
                        },
                        "openings": [
                            {
                                "id": "niche",
                                "kind": "niche",
                                "name": "niche",
                                "left": "20",
                                "bottom": "44",
                                "width": "14 1/2",
                                "height": "12",
                                "depth": "3 1/2",
                                "trim": True,
                            }
                        ],
                    },
                    {
                        "id": "left",
                        "name": "left wall",
                        "role": "wall",
                        "exposure": "wet",
                        "build_up": wall,
                        "shape": {
                            "kind": "rectangle",
                            "width": "37 3/8",
                            "height": "91 1/2",
                        },
                        "edges": [
                            "wall",
                            {"kind": "wall", "meets": "back"},
                            "wall",
                            "exposed",
                        ],
                        "openings": [
                            {
                                "id": "valve",
                                "kind": "valve",
                                "left": "16",
                                "bottom": "42",
                                "width": "6",
                                "height": "6",
                            }
                        ],
                    },
                    {
                        "id": "right",
                        "name": "right wall",
                        "role": "wall",
                        "exposure": "wet",
                        "build_up": wall,
                        "shape": {
                            "kind": "rectangle",
                            "width": "37 3/8",
                            "height": "91 1/2",
                        },
                        "edges": [
                            "wall",
                            "exposed",
                            "wall",
                            {"kind": "wall", "meets": "back"},
                        ],
                    },
                ],
            }
        ],
        "build_ups": {
            "shower_floor": {
                "name": "Sloped shower floor",
                "layers": [
                    {"role": "pan"},
                    {"role": "drain", "material": "DR-32"},
                    {"role": "waterproofing", "material": "LM-2"},
                    {"role": "waterproofing", "material": "BN-5"},
                    {"role": "bed", "material": "AD-50"},
                    {"role": "tile", "material": "MS-2", "pattern": {"name": "stack"}},
                    {"role": "grout", "material": "GR-25"},
                    {"role": "sealant", "material": "SL-10"},
                ],
            },
            "wet_wall": {
                "name": "Tiled wet wall",
                "layers": [
                    {"role": "board", "material": "KB-12"},
                    {"role": "fixing", "material": "FS-114"},
                    {"role": "waterproofing", "material": "LM-2"},
                    {"role": "waterproofing", "material": "BN-5"},
                    {
                        "role": "bed",
                        "material": "AD-50",
                        "notch": {
                            "kind": "square",
                            "width": "1/4",
                            "depth": "3/8",
                            "land": "1/4",
                        },
                    },
                    {
                        "role": "tile",
                        "material": "TL-412",
                        "pattern": {"name": "running_bond", "offset": "1/3"},
                    },
                    {"role": "grout", "material": "GR-10"},
                    {"role": "trim", "material": "PF-8"},
                    {"role": "sealant", "material": "SL-10"},
                ],
            },
        },
        "rates": _rates(tax_name="Sales tax", sales_tax="7 %", method="markup"),
        "terms": {
            "scope": "Board, seal and tile the shower recess.",
            "exclusions": ["Plumbing and glass by others."],
            "deposit": "30 %",
        },
        "price_list": an_imperial_price_list(),
    }
    return {**document, **copy.deepcopy(changes)}


def a_hall(**changes: Any) -> Document:
    """Return an L-shaped hall floor out of level, with a door sill; millimetres."""
    document: Document = {
        "format": "gaugerod-visit",
        "version": 1,
        "unit": "mm",
        "id": "visit-quay-hall",
        "title": "Hall floor, Quay Lane",
        "currency": "GBP",
        "measured_on": "2026-03-11",
        "client": {"name": "Quay Lane Surgery", "nature": "business"},
        "site": {"address": "3 Quay Lane\nSaltmarsh", "storey": 0, "built": 2004},
        "spaces": [
            {
                "id": "hall",
                "name": "Hall",
                "surfaces": [
                    {
                        "id": "hall-floor",
                        "name": "floor",
                        "role": "floor",
                        "use": "traffic",
                        "build_up": "hall_floor",
                        "shape": {
                            "kind": "l",
                            "width": "4.86 m",
                            "height": "3415",
                            "cut_width": "2930",
                            "cut_height": "1780",
                        },
                        "edges": [
                            "wall",
                            "threshold",
                            "wall",
                            "wall",
                            "wall",
                            "wall",
                        ],
                        "heights": [
                            {"x": "100", "y": "100", "height": "4"},
                            {"x": "4700", "y": "100", "height": "0"},
                            {"x": "4700", "y": "1500", "height": "2"},
                            {"x": "1800", "y": "1550", "height": "6"},
                            {"x": "100", "y": "3300", "height": "3"},
                        ],
                    }
                ],
            }
        ],
        "build_ups": {
            "hall_floor": {
                "name": "Levelled floor, large tile",
                "layers": [
                    {"role": "preparation", "material": "PR-1"},
                    {"role": "leveller", "material": "LV-25", "thickness": "2"},
                    {
                        "role": "bed",
                        "material": "AD-20",
                        "notch": {"kind": "square", "width": "10", "depth": "10"},
                        "blade_angle": "60",
                        "back_butter": "1",
                    },
                    {"role": "tile", "material": "FT-60", "pattern": {"name": "stack"}},
                    {"role": "grout", "material": "GR-5"},
                    {"role": "sealant", "material": "SL-31"},
                ],
            }
        },
        "rates": _rates(sales_tax="20 %", purchase_tax="20 %"),
        "terms": {"scope": "Level and tile the hall floor.", "deposit": "25 %"},
        "price_list": a_metric_price_list(),
    }
    return {**document, **copy.deepcopy(changes)}


def a_kitchen_wall(**changes: Any) -> Document:
    """Return a kitchen splashback round a corner, a window in it; millimetres."""
    document: Document = {
        "format": "gaugerod-visit",
        "version": 1,
        "unit": "mm",
        "id": "visit-mill-kitchen",
        "title": "Kitchen wall, Mill Street",
        "currency": "GBP",
        "measured_on": "2026-03-18",
        "client": {"name": "Ines Harrow", "email": "ines@example.org"},
        "site": {"address": "21 Mill Street\nSaltmarsh", "storey": 2, "built": 1936},
        "spaces": [
            {
                "id": "kitchen",
                "name": "Kitchen",
                "surfaces": [
                    {
                        "id": "long",
                        "name": "window wall",
                        "role": "splashback",
                        "exposure": "splash",
                        "measured_to": "old_finish",
                        "build_up": "splash",
                        "shape": {
                            "kind": "rectangle",
                            "width": "2745",
                            "height": "585",
                        },
                        "edges": [
                            "wall",
                            {"kind": "wall", "meets": "short"},
                            "exposed",
                            "exposed",
                        ],
                        "openings": [
                            {
                                "id": "window",
                                "kind": "window",
                                "left": "860",
                                "bottom": "205",
                                "width": "1140",
                                "height": "380",
                                "trim": True,
                            },
                            {
                                "id": "socket",
                                "kind": "outlet",
                                "left": "240",
                                "bottom": "150",
                                "width": "146",
                                "height": "86",
                            },
                        ],
                    },
                    {
                        "id": "short",
                        "name": "cooker wall",
                        "role": "splashback",
                        "exposure": "near_heat",
                        "measured_to": "old_finish",
                        "build_up": "splash",
                        "shape": {
                            "kind": "rectangle",
                            "width": "1430",
                            "height": "585",
                        },
                        "edges": ["wall", "exposed", "exposed", "wall"],
                    },
                ],
            }
        ],
        "build_ups": {
            "splash": {
                "name": "Splashback on plaster",
                "layers": [
                    {"role": "preparation", "material": "PR-1"},
                    {
                        "role": "bed",
                        "material": "AD-20",
                        "notch": {"kind": "square", "width": "6", "depth": "6"},
                    },
                    {
                        "role": "tile",
                        "material": "WT-20",
                        "pattern": {"name": "running_bond", "offset": "1/2"},
                    },
                    {"role": "grout", "material": "GR-5"},
                    {"role": "trim", "material": "PF-25"},
                    {"role": "sealant", "material": "SL-31"},
                ],
            }
        },
        "rates": _rates(sales_tax="20 %", purchase_tax="20 %", method="margin"),
        "terms": {"scope": "Tile the splashback.", "exclusions": ["Electrical work."]},
        "price_list": a_metric_price_list(),
    }
    return {**document, **copy.deepcopy(changes)}


def a_bare_visit(*surfaces: Document, **changes: Any) -> Document:
    """Return a visit of one room with these surfaces and no layers; millimetres."""
    document: Document = {
        "format": "gaugerod-visit",
        "version": 1,
        "unit": "mm",
        "id": "visit-bare",
        "title": "A room",
        "currency": "GBP",
        "measured_on": "2026-03-02",
        "spaces": [{"id": "room", "name": "Room", "surfaces": list(surfaces)}],
    }
    return {**document, **copy.deepcopy(changes)}


def a_surface(identity: str = "floor", role: str = "floor", **changes: Any) -> Document:
    """Return a rectangle of 3000 by 2000 mm, or whatever `shape` says."""
    document: Document = {
        "id": identity,
        "role": role,
        "shape": {"kind": "rectangle", "width": "3000", "height": "2000"},
    }
    return {**document, **copy.deepcopy(changes)}


def a_flight(**shape: Any) -> Document:
    """Return three rises of 180 mm, 1 m wide, whose beds make them equal at 195 mm."""
    return {
        "id": "stairs",
        "name": "Stairs",
        "role": "steps",
        "shape": {
            "kind": "stairs",
            "rises": ["180", "180", "180"],
            "width": "1000",
            "going": "280",
            "bottom": "0",
            "landing": "45",
            "tile": "10",
            "bed": "5",
            "riser": "14",
            **copy.deepcopy(shape),
        },
    }
