"""From a knowledge directory to a `Pack`, or to every fault in it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TypeVar

from riskapi.catalogue import crosscheck, yamlfile
from riskapi.catalogue.checks import read_checks, read_set_ups
from riskapi.catalogue.engines import FamilyFile, read_family
from riskapi.catalogue.fold import fold_single_readers
from riskapi.catalogue.folder import SETTING, default_directory
from riskapi.catalogue.languages import FOLDER, is_language_file, read_languages
from riskapi.catalogue.ledger import Ledger, Spot
from riskapi.catalogue.nodes import Entry, Item
from riskapi.catalogue.operations import read_access_steps, read_operations, read_special_tools
from riskapi.catalogue.pack_file import read_pack_file, read_sources
from riskapi.catalogue.symptoms import read_symptoms
from riskapi.catalogue.visit import check_visit, read_visit_words
from riskapi.catalogue.weak_points import read_weak_points
from riskapi.domain.knowledge import Pack, PartRevision, WeakPoint
from riskapi.errors import Fault, KnowledgeError

ROOT_FILES = ("pack.yaml", "sources.yaml", "symptoms.yaml", "checks.yaml", "operations.yaml")
FOLDERS = ("weak_points", "engines", FOLDER)

_T = TypeVar("_T")


def load_pack(directory: Path | Traversable | None = None) -> Pack:
    """The pack in `directory` (default: `default_directory()`), ready to compute with.

    Raises KnowledgeError with all faults; their places are 'file:line:column', the file relative to the directory.
    """
    return fold_single_readers(pack_as_written(directory))


def pack_as_written(directory: Path | Traversable | None = None) -> Pack:
    """The same with every check and symptom as its author wrote it. Raises KnowledgeError with all faults."""
    ledger = Ledger()
    contents = _contents(directory if directory is not None else default_directory(), ledger)
    return _without_faults(contents, ledger)


def read_pack(contents: Mapping[str, bytes]) -> Pack:
    """The pack in these files, named as `pack_files` names them, ready to compute with. Raises KnowledgeError with all
    faults."""
    ledger = Ledger()
    _note_missing(contents, ledger)
    return fold_single_readers(_without_faults(dict(sorted(contents.items())), ledger))


def _without_faults(contents: dict[str, bytes], ledger: Ledger) -> Pack:
    pack = _read(contents, ledger)
    faults = ledger.faults()
    if faults:
        raise KnowledgeError(faults)
    return pack


def pack_files(directory: Path | Traversable | None = None) -> dict[str, bytes]:
    """Name -> bytes of every file of the pack in `directory`, what its digest is taken over. Raises KnowledgeError."""
    return _contents(directory if directory is not None else default_directory(), Ledger())


def counts(pack: Pack) -> str:
    """One line that says how much is in a pack."""
    return (
        f"{len(pack.weak_points)} weak points, {len(pack.checks)} checks, "
        f"{len(pack.operations)} operations, {len(pack.families)} engine families"
    )


# ---- files ---------------------------------------------------------------------------------------


def _contents(directory: Path | Traversable, ledger: Ledger) -> dict[str, bytes]:
    """Name (with '/' between folders) -> bytes, sorted by name. Hidden files and languages/ are left out."""
    if not directory.is_dir():
        mend = f"Name a folder with pack.yaml in it, or unset {SETTING}."
        raise KnowledgeError([Fault(str(directory), "this is not a folder.", mend)])
    found = dict(_walk(directory, "", ledger))
    _note_missing(found, ledger)
    return dict(sorted(found.items()))


def _note_missing(contents: Mapping[str, bytes], ledger: Ledger) -> None:
    for name in ROOT_FILES:
        if name not in contents:
            ledger.fault(Spot(name, 1, 1), "the file is missing.", "Add it to the knowledge folder.")


def _walk(directory: Path | Traversable, folder: str, ledger: Ledger) -> Iterator[tuple[str, bytes]]:
    for item in directory.iterdir():
        name = folder + item.name
        if item.name.startswith("."):
            continue
        if not folder and item.name in FOLDERS and item.is_dir():
            yield from _walk(item, f"{item.name}/", ledger)
        elif item.is_file() and _belongs(folder, name):
            try:
                yield name, item.read_bytes()
            except OSError as error:
                ledger.fault(Spot(name, 1, 1), f"the file cannot be read ({error.strerror}).", "Check its permissions.")
        else:
            mend = f"A pack has {', '.join(ROOT_FILES)}, weak_points/*.yaml, engines/*.yaml and languages/*.po."
            ledger.fault(Spot(name, 1, 1), "a pack has no such file.", mend)


def _belongs(folder: str, name: str) -> bool:
    if folder == f"{FOLDER}/":
        return is_language_file(name)
    return name.endswith(".yaml") if folder else name in ROOT_FILES


def _digest(contents: dict[str, bytes]) -> str:
    """SHA-256 over names and contents, each with its length before it.

    Languages are in it too: they move no number, but a digest stands for every byte that a report can be printed from.
    """
    digest = hashlib.sha256()
    for name, data in contents.items():
        for part in (name.encode(), data):
            digest.update(len(part).to_bytes(8, "big") + part)
    return digest.hexdigest()


# ---- records -------------------------------------------------------------------------------------


def _read(contents: dict[str, bytes], ledger: Ledger) -> Pack:
    written = {name for name in contents if not is_language_file(name)}
    roots = {name: _root(name, contents.get(name), ledger) for name in sorted({*ROOT_FILES, *written})}
    head = read_pack_file(roots["pack.yaml"])
    symptoms = read_symptoms(roots["symptoms.yaml"])
    levels = {symptom.id: len(symptom.levels) - 1 for symptom in symptoms if symptom.levels}
    weak_points = _each(roots, "weak_points/", lambda root: read_weak_points(root, levels))
    family_files = _each(roots, "engines/", lambda root: [read_family(root)])
    pack = Pack(
        version=head.version,
        digest=_digest(contents),
        note=head.note,
        defaults=head.defaults,
        fixed=head.fixed,
        sources=tuple(read_sources(roots["sources.yaml"])),
        traits=head.traits,
        conditions=head.conditions,
        stress_conditions=head.stress_conditions,
        weak_points=tuple(_with_family_parts(weak_point, family_files) for weak_point in weak_points),
        symptoms=symptoms,
        set_ups=tuple(read_set_ups(roots["checks.yaml"])),
        checks=tuple(
            read_checks(roots["checks.yaml"], levels, None if crosscheck.WORDS in ledger.unread else head.traits)
        ),
        access_steps=tuple(read_access_steps(roots["operations.yaml"])),
        operations=tuple(read_operations(roots["operations.yaml"])),
        families=tuple(file.family for file in family_files),
        figures=tuple(ledger.figures),
        special_tools=tuple(read_special_tools(roots["operations.yaml"])),
        visit=read_visit_words(roots["checks.yaml"]),
    )
    _settle(pack, family_files, ledger)
    return replace(pack, languages=read_languages(contents, pack, ledger))


def _root(name: str, data: bytes | None, ledger: Ledger) -> Entry:
    """The mapping of a file; a blank one when the file is missing or unreadable."""
    node = yamlfile.parse(name, data, ledger) if data is not None else None
    entry = Item(node, Spot(name, 1, 1), "", None, ledger).entry()
    if not entry.item.present:
        ledger.unread.add(name)
    return entry


def _each(roots: dict[str, Entry], folder: str, read: Callable[[Entry], Iterable[_T]]) -> list[_T]:
    return [record for name in sorted(roots) if name.startswith(folder) for record in read(roots[name])]


def _with_family_parts(weak_point: WeakPoint, family_files: list[FamilyFile]) -> WeakPoint:
    """The weak point with the parts that only families have; one that several share stands there once."""
    own: dict[str, PartRevision] = {}
    for file in family_files:
        for part in file.parts.get(weak_point.id, ()):
            own.setdefault(part.id, part)
    return replace(weak_point, parts=(*weak_point.parts, *own.values()))


def _settle(pack: Pack, family_files: list[FamilyFile], ledger: Ledger) -> None:
    for note_unknown_keys in ledger.closers:
        note_unknown_keys()
    crosscheck.check_references(ledger)
    crosscheck.check_names(ledger, pack.traits)
    traits_hold = crosscheck.check_traits(ledger, pack.traits)
    crosscheck.check_cycles(ledger, pack.access_steps, pack.operations, pack.symptoms)
    crosscheck.check_shared_acts(ledger, pack.checks)
    check_visit(ledger, pack)
    weak_points = {weak_point.id: weak_point for weak_point in pack.weak_points} if traits_hold else {}
    crosscheck.check_shared_parts(ledger, family_files)
    for file in family_files:
        crosscheck.check_family(ledger, file, weak_points)
