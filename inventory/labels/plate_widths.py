"""How wide the letters of the face are in which names are printed (shop/static/plate), in thousandths of its height.

Measured in the file itself. Figures are as wide as the widest, as they stand below each other.
"""

_BY_WIDTH = {
    153: "'", 180: "|", 200: " ", 213: "`", 219: "l", 220: "·", 231: "j", 232: ",", 235: "i", 242: ".", 243: "I",
    266: ";", 298: "()", 302: "!", 304: ":", 315: '"', 322: "“”", 328: "t", 333: "f", 334: "{}", 342: "r", 364: "-",
    366: "[]", 368: "°", 380: "*", 412: "z", 413: "×", 417: "/\\", 422: "–", 439: "^", 446: "sy", 456: "?",
    457: "_", 460: "v", 465: "+<=>±", 466: "x", 477: "c", 478: "ak", 484: "e", 489: "Fu", 490: "gZo", 491: "hn",
    493: "L", 496: "µ", 498: "bd", 501: "$~", 502: "pq", 512: "J", 513: "ES", 516: "T", 521: "Q", 522: "0123456789",
    526: "P", 528: "Y", 533: "C", 537: "GR", 538: "X", 540: "V", 542: "B", 544: "O", 545: "D", 549: "K", 552: "A",
    557: "HU", 588: "N", 627: "M", 635: "&", 642: "#", 677: "w", 741: "½", 747: "m", 755: "…", 771: "W", 789: "@",
    802: "%",
}  # fmt: skip
_WIDTHS = {letter: width for width, letters in _BY_WIDTH.items() for letter in letters}
_OF_ANOTHER_FACE = 1100
"""A letter that the face has not is drawn in the device's own, as wide as the widest of those is."""


def width_of(text: str) -> int:
    return sum(_WIDTHS.get(letter, _OF_ANOTHER_FACE) for letter in text)
