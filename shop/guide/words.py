"""The words of the trade that the guides use, each explained once."""

WORDS = (
    (
        "collet",
        "a slit sleeve that grips a bar all around when it is drawn or pushed into a taper. It is made for "
        "one size, and can be closed or opened by very little.",
    ),
    (
        "closer",
        "what holds a collet in the spindle and closes it, by a wheel, a lever or a drawtube. A collet chuck "
        "with a nut does the same for ER collets.",
    ),
    (
        "universal, independent chuck",
        "in the first all jaws move together and center the work; in the second each moves alone, and the "
        "work is dialled in by an indicator.",
    ),
    (
        "spindle nose, seat",
        "a standard place where one thing mounts in another: a D1-4 nose, a 5C seat, an MT3 taper.",
    ),
    (
        "Morse taper, sleeve",
        "the slow taper of centers and drills, MT0 to MT7, which holds by itself; a sleeve makes a small one "
        "fit a large socket.",
    ),
    (
        "TIR",
        "total indicator reading: the full swing of an indicator over one turn. The axis is off by half of it.",
    ),
    (
        "clamping range",
        "from the smallest to the largest bar that a collet may grip.",
    ),
    (
        "true zone",
        "the part of that range, near the marked size, in which the collet runs as true as it is marked.",
    ),
    (
        "across flats",
        "the size of hex and square bar: from one flat to the one opposite, not over the corners.",
    ),
    (
        "bell-mouthed",
        "worn wider at the mouth than inside: it grips at the back only, and lets go under a cut.",
    ),
    (
        "blank",
        "a soft collet with a small pilot hole, bored in place to the size that is needed; also called an "
        "emergency or machinable collet.",
    ),
    (
        "set-up, set-over",
        "a set-up is one gripping of the work; set-over is how far a tailstock is moved aside, to turn a "
        "taper between centers.",
    ),
    (
        "stick-out",
        "how far the work stands out of what grips it, without support.",
    ),
    (
        "link",
        "one of the pieces between the spindle and the bar: closer, sleeve, drawbar, key. One that is missing "
        "can make a whole series useless on a lathe.",
    ),
)
