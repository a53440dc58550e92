"""Reads a knowledge directory into the records of riskapi.domain.knowledge, or tells every fault in it.

`load_pack` is the way in; load.py shows the order, nodes.py how a single value is read.
"""
