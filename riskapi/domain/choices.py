"""Words and bounds that whoever asks has to know beforehand: a command line, a form, a request.

They stand here because nothing else has to be read to know them.
"""

from __future__ import annotations

ROLES = ("buyer", "inspector", "dealer", "curator")  # of an account
EDITIONS = ("buyer", "inspector")  # of a report: for whom it is
YOUNGEST, OLDEST = 0.5, 60.0  # [years]: ages at which a revision can be looked at
FARTHEST = 2_000_000.0  # [km]: odometers at which a revision can be looked at
