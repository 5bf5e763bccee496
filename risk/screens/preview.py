"""The first pages of a PDF, shown as pictures."""

from __future__ import annotations

import streamlit as st


def preview(pdf: bytes, of: str, most: int) -> None:
    """Show the first pages of a PDF `of` something as pictures, `most` of them at most."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    total = len(document)
    for number in range(min(total, most)):
        picture = document[number].render(scale=1.4).to_pil()
        st.image(
            picture,
            caption=f"Page {number + 1} of {total}",
            width="stretch",
            alt=f"Page {number + 1} of the {of}; its text is in the file",
        )
    if total > most:
        more = total - most
        st.caption(f"{more} more {'page is' if more == 1 else 'pages are'} in the file.")
