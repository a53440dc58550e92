"""The German texts, one module beside each English one: the same keys, the same facts, own words."""
