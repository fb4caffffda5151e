"""The price list and what must be bought: materials, packs, prices, cutting."""
