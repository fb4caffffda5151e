"""Pure materials core: exact values, kinds, packaging, cutting. No Django, no clock."""
