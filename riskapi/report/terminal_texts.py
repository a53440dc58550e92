"""What the command line says while something takes long, and beside what it was asked for, in every language."""

from __future__ import annotations

from riskapi.report.german.terminal_texts import TERMINAL_TEXTS as GERMAN
from riskapi.report.language import Texts

TERMINAL_TEXTS = {
    "progress_assess": "Assessing ...",
    "progress_checklist": "Choosing what is worth looking at ...",
    "progress_draw": "Drawing the report ...",
    "progress_sensitivity": "Changing one thing at a time ...",
    "progress_what_if": "Computing both columns ...",
    "progress_view": "Computing the chances ...",
    "progress_rescore": "Assessing with the knowledge in use ...",
    "progress_print": "Printing ...",
    "progress_samples": "Assessing the sample cases with both packs ...",
    "progress_erase": "Erasing ...",
    "progress_backup": "Writing the backup ...",
    "progress_restore": "Reading the backup ...",
    "progress_count": "{what} # of {total},",
    "printed_all": "{done} assessments are printed and kept; {failed} are not.",
    "standard_input": "standard input",
    "not_sealed": (
        "riskapi: the PDF is not sealed: {folder} cannot be used ({why}). Check who may read and write there."
    ),
}

tell = Texts(en=TERMINAL_TEXTS, de=GERMAN)
