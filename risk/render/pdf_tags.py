"""The structure of a PDF: headings, paragraphs, table cells and figures in reading order.

reportlab draws pages but does not tag them.  A `Structure` is the tree of elements (ISO 32000-1,
section 14.8); drawing inside `Structure.mark` ties what is painted to an element, and
`Structure.finish` writes the tree into the file.  What is decoration is marked as an artifact.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFObjectReference,
    PDFString,
)


@dataclass(eq=False, slots=True)
class Element:
    """One element: its kind (``H1``, ``P``, ``TD`` ..), description, children and marks.

    `once` is for the header cells of a table that continues on a further page: what is painted
    again there is decoration.  `actual` is the text in its logical order where it is painted
    in another one.  `marks` are (page number, mark on that page).
    """

    kind: str
    parent: Element | None = None
    description: str = ""
    once: bool = False
    actual: str = ""
    children: list[Element] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)

    def add(self, kind: str, description: str = "", *, once: bool = False) -> Element:
        """Return a new child, last in reading order."""
        child = Element(kind, self, description, once=once)
        self.children.append(child)
        return child

    def blank(self, kind: str) -> str:
        """Add an empty cell, which keeps its place in the row, and return its text."""
        self.add(kind, once=self.once)
        return ""


class Structure:
    """The elements of one document and which of them each mark of each page belongs to."""

    def __init__(self) -> None:
        self.root = Element("Document")
        self._pages: dict[int, list[Element]] = {}

    @contextmanager
    def mark(self, canvas: Any, element: Element | None) -> Iterator[None]:
        """Whatever is painted within belongs to `element`; to none: it is decoration."""
        page = canvas.getPageNumber()
        if element is None or (element.once and any(at != page for at, _ in element.marks)):
            canvas.addLiteral("/Artifact BMC")
        else:
            marks = self._pages.setdefault(page, [])
            element.marks.append((page, len(marks)))
            canvas.addLiteral(f"/{element.kind} <</MCID {len(marks)}>> BDC")
            marks.append(element)
        yield
        canvas.addLiteral("EMC")

    def finish(self, document: Any) -> None:
        """Write the tree into `document` (reportlab's `PDFDocument`) before it is saved."""
        pages = document.Pages.pages
        references = [document.Reference(page) for page in pages]
        elements = _used(self.root)
        names = {id(element): f"structure{i}" for i, element in enumerate(elements)}

        def reference(element: Element) -> PDFObjectReference:
            return PDFObjectReference(names[id(element)])

        for element in elements:
            kids: list[Any] = [reference(child) for child in element.children if id(child) in names]
            entry: dict[str, Any] = {
                "S": PDFName(element.kind),
                "P": reference(element.parent)
                if element.parent
                else PDFObjectReference("structure-root"),
            }
            if len(element.marks) == 1:  # nearly all; the long form takes a third of the time
                ((page, mark),) = element.marks
                entry["Pg"] = references[page - 1]
                kids.append(mark)
            else:
                kids += [
                    PDFDictionary(
                        {"Type": PDFName("MCR"), "Pg": references[page - 1], "MCID": mark}
                    )
                    for page, mark in element.marks
                ]
            entry["K"] = kids[0] if len(kids) == 1 else PDFArray(kids)
            if element.description:
                entry["Alt"] = PDFString(element.description)
            if element.actual:
                entry["ActualText"] = PDFString(element.actual)
            if element.kind == "TH":
                entry["A"] = PDFDictionary({"O": PDFName("Table"), "Scope": PDFName("Column")})
            document.Reference(PDFDictionary(entry), names[id(element)])
        numbers: list[Any] = []
        for number, page in enumerate(pages, 1):
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents = number - 1
            page.Tabs = PDFName("S")
            owners = PDFArray([reference(each) for each in self._pages.get(number, [])])
            numbers += [number - 1, document.Reference(owners, f"structure-page{number}")]
        root = PDFDictionary(
            {
                "Type": PDFName("StructTreeRoot"),
                "K": reference(self.root),
                "ParentTree": PDFDictionary({"Nums": PDFArray(numbers)}),
                "ParentTreeNextKey": len(pages),
            }
        )
        document.Reference(root, "structure-root")
        document.Catalog.StructTreeRoot = PDFObjectReference("structure-root")
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


def _used(element: Element) -> list[Element]:
    """The element and all below it that hold something, parents first."""
    below = [each for child in element.children for each in _used(child)]
    kept = below or element.marks or element.kind in {"Document", "TH", "TD"}
    return [element, *below] if kept else []
