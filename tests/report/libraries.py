"""The exported network read by two general Bayesian-network libraries: pgmpy (BIF) and pyAgrum (XMLBIF)."""

from __future__ import annotations

import warnings
from collections.abc import Iterable
from pathlib import Path

import pyagrum

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # what pgmpy's own dependencies warn about on import is not ours to mend
    from pgmpy.inference import VariableElimination
    from pgmpy.readwrite import BIFReader


def pgmpy_posteriors(bif: str, seen: dict[str, str], names: Iterable[str]) -> dict[str, list[float]]:
    """P(state | evidence) of each named variable, from the text of a BIF file."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model = BIFReader(string=bif).get_model()
        model.check_model()
        engine = VariableElimination(model)
        answers = {name: engine.query([name], evidence=seen, show_progress=False) for name in names}
    return {
        name: [float(answer.get_value(**{name: state})) for state in answer.state_names[name]]
        for name, answer in answers.items()
    }


def agrum_posteriors(path: Path, seen: dict[str, str], names: Iterable[str]) -> dict[str, list[float]]:
    """P(state | evidence) of each named variable, from a BIF or XMLBIF file (chosen by its suffix)."""
    network = pyagrum.loadBN(str(path))
    engine = pyagrum.LazyPropagation(network)
    engine.setEvidence(dict(seen))
    engine.makeInference()
    return {name: engine.posterior(name).tolist() for name in names}
