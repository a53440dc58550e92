"""From an engine's known weak points and an inspector's findings to a scored risk, a cost, a price and a report."""

__version__ = "0.1.0"
