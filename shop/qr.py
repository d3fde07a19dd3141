"""A QR code made of characters, so that a phone can be pointed at the terminal."""

import io

import segno


def in_characters(address: str) -> str:
    """The QR code of an address in half blocks, light on dark as a terminal has it; ends with a newline."""
    text = io.StringIO()
    segno.make(address, micro=False).terminal(text, border=2, compact=True)
    return text.getvalue()
