"""The tags of a PDF: headings, paragraphs, tables and figures in the order in which they are read; knows no report."""

from __future__ import annotations

from reportlab.pdfbase.pdfdoc import (  # type: ignore[import-untyped]
    PDFArray,
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFObject,
    PDFObjectReference,
    PDFString,
)
from reportlab.pdfbase.pdfdoc import format as formatted

from inspect_app.paper.lines import Node

Mark = tuple[PDFObjectReference, int | PDFObjectReference]
"""The page on which something is drawn, and its number there, or the link that it is."""


class Structure:
    """Gathers what stands on which page as part of what, and puts it into the PDF when all pages are drawn."""

    def __init__(self) -> None:
        self._whole = Node("Document")
        self._kids: dict[Node, list[Node | tuple[int, int] | tuple[int, PDFObjectReference]]] = {
            self._whole: []
        }
        self._pages: list[list[Node]] = []
        self._links: list[Node] = []

    def turn(self) -> None:
        """A new page begins."""
        self._pages.append([])

    def know(self, node: Node) -> None:
        """Something has its place here, whether anything of it is drawn or not."""
        if node not in self._kids:
            within = node.within or self._whole
            self.know(within)
            self._kids[within].append(node)
            self._kids[node] = []

    def mark(self, node: Node) -> int:
        """The number, on this page, of what is drawn now as part of a node."""
        self.know(node)
        self._pages[-1].append(node)
        number = len(self._pages[-1]) - 1
        self._kids[node].append((len(self._pages) - 1, number))
        return number

    def lead(self, node: Node, annotation: PDFObjectReference) -> int:
        """The number of a link that is part of a node; the pages' come first, so it counts from behind."""
        self.know(node)
        self._kids[node].append((len(self._pages) - 1, annotation))
        self._links.append(node)
        return LINKS_FROM + len(self._links) - 1

    def put_down(self, document: PDFDocument) -> None:
        """Hand everything to the PDF."""
        pages = [document.Reference(page) for page in document.Pages.pages]
        root = _Written()
        root_reference = document.Reference(root)
        elements = {node: _Element(node) for node in self._kids}
        references = {node: document.Reference(element) for node, element in elements.items()}
        for node, element in elements.items():
            within = node.within or (None if node is self._whole else self._whole)
            element.within = references[within] if within else root_reference
            element.kids = [
                references[kid] if isinstance(kid, Node) else (pages[kid[0]], kid[1])
                for kid in self._kids[node]
            ]
        numbers: list[object] = []
        for n, marks in enumerate(self._pages):
            numbers += [n, PDFArray([references[node] for node in marks])]
            page = document.Pages.pages[n]
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents, page.Tabs = n, PDFName("S")
        for n, node in enumerate(self._links, LINKS_FROM):
            numbers += [n, references[node]]
        root.said = {
            "Type": PDFName("StructTreeRoot"),
            "K": references[self._whole],
            "ParentTree": PDFDictionary({"Nums": PDFArray(numbers)}),
            "ParentTreeNextKey": LINKS_FROM + len(self._links),
        }
        document.Catalog.StructTreeRoot = root_reference
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


LINKS_FROM = 100_000
"""The number of the first link in the tree of parents, behind those of all pages."""


def _to(reference: PDFObjectReference, document: PDFDocument) -> bytes:
    """A reference as it is written, without the library's way through its encodings."""
    return b"%d %d R" % document.idToObjectNumberAndVersion[reference.name]


class _Written(PDFObject):  # type: ignore[misc]
    """A dictionary that is filled after others refer to it."""

    __RefOnly__ = 1
    said: dict[str, object]

    def format(self, document: PDFDocument) -> bytes:
        return bytes(formatted(PDFDictionary(self.said), document))


class _Element(PDFObject):  # type: ignore[misc]
    """One element of the structure; written by hand, as there are thousands."""

    __RefOnly__ = 1
    within: PDFObjectReference
    kids: list[PDFObjectReference | Mark]

    def __init__(self, node: Node) -> None:
        self.node = node

    def format(self, document: PDFDocument) -> bytes:
        node = self.node
        said = [b"<</S/", node.kind.encode(), b"/P ", _to(self.within, document)]
        pages = dict.fromkeys(page.name for page, _ in self.marks)
        home = self.marks[0][0] if len(pages) == 1 else None
        if home:
            said += [b"/Pg ", _to(home, document)]
        said += [b"/K[", *(self._kid(kid, home, document) for kid in self.kids), b"]"]
        if node.kind == "TH":
            said.append(b"/A<</O/Table/Scope/%s>>" % node.says.encode())
        elif node.says:
            said += [b"/Alt ", formatted(PDFString(node.says), document)]
        return b"".join([*said, b">>"])

    @property
    def marks(self) -> list[Mark]:
        """What is drawn of it itself."""
        return [kid for kid in self.kids if isinstance(kid, tuple)]

    def _kid(
        self, kid: PDFObjectReference | Mark, home: PDFObjectReference | None, document: PDFDocument
    ) -> bytes:
        if not isinstance(kid, tuple):
            return b" " + _to(kid, document)
        page, what = kid
        if isinstance(what, int):
            at = b"" if home else b"<</Type/MCR/Pg %s/MCID" % _to(page, document)
            return at + b" %d" % what + (b"" if home else b">>")
        return b"<</Type/OBJR/Pg %s/Obj %s>>" % (_to(page, document), _to(what, document))
