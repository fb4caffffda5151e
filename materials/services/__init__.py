"""Writes of the lowest app, by topic."""

from __future__ import annotations

from materials.core.chain import digest_of
from materials.services.keeping import Claim, audit, keep_file, once
from materials.services.outbox import (
    Letter,
    give_up,
    owe_mail,
    owe_paper,
    send_again,
)
from materials.services.people import (
    add_person,
    change_email,
    change_password,
    change_role,
    end_access,
    let_in,
)
from materials.services.price_sheet import (
    digest_of_outcomes,
    judge_sheet,
    keep_sheet,
    take_sheet,
)
from materials.services.pricelist import (
    add_material,
    add_pack,
    add_supplier,
    change_material,
    change_price,
)
from materials.services.rack import (
    add_offcut,
    count_rack,
    set_rack_rules,
    write_off,
    write_off_stale,
)
from materials.services.reserving import release_offcut
from materials.services.searches import owe_searches
from materials.services.seeds import new_seed, token_of_seed

__all__ = [
    "Claim",
    "Letter",
    "add_material",
    "add_offcut",
    "add_pack",
    "add_person",
    "add_supplier",
    "audit",
    "change_email",
    "change_material",
    "change_password",
    "change_price",
    "change_role",
    "count_rack",
    "digest_of",
    "digest_of_outcomes",
    "end_access",
    "give_up",
    "judge_sheet",
    "keep_file",
    "keep_sheet",
    "let_in",
    "new_seed",
    "once",
    "owe_mail",
    "owe_paper",
    "owe_searches",
    "release_offcut",
    "send_again",
    "set_rack_rules",
    "take_sheet",
    "token_of_seed",
    "write_off",
    "write_off_stale",
]
