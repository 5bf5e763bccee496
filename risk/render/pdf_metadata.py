"""What a PDF says of itself in XMP (ISO 16684-1): title, author, language, that it is tagged."""

from __future__ import annotations

import re
from typing import Any
from xml.sax.saxutils import escape

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream

#: What XML 1.0 does not take.
_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

_XMP = """\
<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>Two-Thirds</xmp:CreatorTool>
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>
"""


def add_metadata(document: Any, *, title: str, author: str, subject: str, language: str) -> None:
    """Add the metadata to `document` (reportlab's `PDFDocument`) before it is saved.

    It calls the file tagged after PDF/UA-1 (ISO 14289-1), which `tests/render/test_pdf_tags.py`
    checks; so only a document whose content is all tagged may be given here.
    """
    texts = {"title": title, "author": author, "subject": subject, "language": language}
    safe = {key: escape(_NO_XML.sub("", text)) for key, text in texts.items()}
    stream = PDFStream(
        dictionary=PDFDictionary({"Type": PDFName("Metadata"), "Subtype": PDFName("XML")}),
        content=_XMP.format(**safe).encode(),
    )
    document.Catalog.Metadata = document.Reference(stream, "metadata")
