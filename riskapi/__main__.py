"""`python -m riskapi` is the command `riskapi`."""

from riskapi.cli import main

main(prog_name="riskapi")
