"""What a screen reader needs of a page: headings, paragraphs, tables with their heads, pictures with their words, in
reading order. ISO 32000-1, 14.7 (logical structure) and 14.8 (tagged PDF).

    with marked(canvas, "P"):                 # what is drawn within is a paragraph
        canvas.drawString(...)
    with grouped(canvas, "TR"), marked(canvas, "TD"): ...

Whatever is drawn within a marked piece belongs to it; what is marked as nothing (`left_out`) is not read: rules, the
running foot. On a canvas that keeps no structure all of this does nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFObject, PDFPage, PDFString
from reportlab.pdfgen.canvas import Canvas

ROLES = {"title": "H1", "heading": "H2", "subheading": "H3"}  # style -> role; everything else is a paragraph
_COLUMN_HEAD = "/A<</O/Table/Scope/Column>>"


@dataclass(slots=True)
class Element:
    """A piece of the structure: others within it, or (page, number) of what is marked on that page."""

    role: str
    alt: str = ""
    within: list[Element] = field(default_factory=list)
    mark: tuple[int, int] | None = None


class TaggedCanvas(Canvas):
    """A canvas that writes the structure of its pages into the document."""

    _code: list[str]  # of the page that is being drawn
    _doc: Any

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._path = [Element("Document")]
        self._marks: dict[int, list[Element]] = {}  # page -> its marked elements, by their numbers
        self._marking = False

    @contextmanager
    def group(self, role: str) -> Iterator[None]:
        """What is marked within belongs together."""
        element = Element(role)
        self._path[-1].within.append(element)
        self._path.append(element)
        try:
            yield
        finally:
            self._path.pop()

    @contextmanager
    def mark(self, role: str, alt: str) -> Iterator[None]:
        """What is drawn within is one element; a role of '' is none."""
        if self._marking:
            yield
            return
        self._code.append(f"/{role} <</MCID {self._numbered(role, alt)}>> BDC" if role else "/Artifact BMC")
        self._marking = True
        try:
            yield
        finally:
            self._marking = False
            self._code.append("EMC")

    def _numbered(self, role: str, alt: str) -> int:
        page = self.getPageNumber()
        marks = self._marks.setdefault(page, [])
        element = Element(role, alt, mark=(page, len(marks)))
        self._path[-1].within.append(element)
        marks.append(element)
        return len(marks) - 1

    def save(self) -> None:
        if self._code:
            self.showPage()
        _Structure(self._doc, self._path[0], self._marks).write()
        super().save()


def marked(canvas: Canvas, role: str, alt: str = "") -> Any:
    """What is drawn within is an element of this role; `alt` says a picture in words."""
    return canvas.mark(role, alt) if isinstance(canvas, TaggedCanvas) else _nothing()


def grouped(canvas: Canvas, role: str) -> Any:
    """The elements drawn within are parts of one of this role."""
    return canvas.group(role) if isinstance(canvas, TaggedCanvas) else _nothing()


def left_out(canvas: Canvas) -> Any:
    """What is drawn within is not read."""
    return marked(canvas, "")


def role_of(style: str) -> str:
    """The role of a text of this style; the style of another size ends in it."""
    return ROLES.get(style.partition("_")[0], "P")


@contextmanager
def _nothing() -> Iterator[None]:
    yield


# ---- the structure in the document -----------------------------------------------------------------------------


class _Written(PDFObject):
    """An object of the document as its bytes; it stands by itself and is referred to by its number."""

    __RefOnly__ = 1

    def __init__(self, document: Any, name: str) -> None:
        self.content = b""
        document.Reference(self, name)
        self.number = int(document.idToObjectNumberAndVersion[name][0])

    def format(self, _document: Any) -> bytes:
        return self.content


class _Structure:
    """The tree of elements as objects of the document, and for every page which element each of its marks is."""

    def __init__(self, document: Any, root: Element, marks: dict[int, list[Element]]) -> None:
        self._document, self._root, self._marks = document, root, marks
        self._pages = document.Pages.pages
        numbers = document.idToObjectNumberAndVersion
        self._page_numbers = {page: int(numbers[f"Page{page}"][0]) for page in marks}
        self._objects: dict[int, _Written] = {}

    def write(self) -> None:
        tree, parents = (_Written(self._document, name) for name in ("structure", "structure_parents"))
        self._register(self._root)
        self._write_element(self._root, tree.number)
        head = f"<</Type/StructTreeRoot/K {self._number(self._root)} 0 R/ParentTree {parents.number} 0 R"
        tree.content = f"{head}/ParentTreeNextKey {len(self._pages)}>>".encode()
        parents.content = f"<</Nums[{' '.join(self._rows())}]>>".encode()
        self._document.Catalog.StructTreeRoot, self._document.Catalog.MarkInfo = tree, b"<</Marked true>>"

    def _rows(self) -> Iterator[str]:
        for place, page in enumerate(self._pages):
            page.__NoDefault__ = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents, page.Tabs = place, b"/S"
            yield f"{place} [{self._references(self._marks.get(place + 1, ()))}]"

    def _register(self, element: Element) -> None:
        self._objects[id(element)] = _Written(self._document, f"structure_{len(self._objects)}")
        for each in element.within:
            self._register(each)

    def _write_element(self, element: Element, parent: int) -> None:
        made = self._objects[id(element)]
        if element.mark is None:
            inside = f"/K[{self._references(element.within)}]"
        else:
            page, mark = element.mark
            inside = f"/Pg {self._page_numbers[page]} 0 R/K {mark}"
        told = f"<</S/{element.role}/P {parent} 0 R{inside}{_COLUMN_HEAD if element.role == 'TH' else ''}"
        alt = b"/Alt" + PDFString(element.alt).format(self._document) if element.alt else b""
        made.content = told.encode() + alt + b">>"
        for each in element.within:
            self._write_element(each, made.number)

    def _references(self, elements: Iterable[Element]) -> str:
        return " ".join(f"{self._number(each)} 0 R" for each in elements)

    def _number(self, element: Element) -> int:
        return self._objects[id(element)].number
