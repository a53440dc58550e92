"""What the commands do, one module for each cli_*.py that declares them; imported when a command runs.

faults    what is told when something is at fault, and how a command ends
screen    the terminal, and a word on what takes long
cases     reading a case
paper     pictures, letterhead and edition of a report
sheets    files that are drawn
"""
