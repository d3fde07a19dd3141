"""For the crib keeper: at the bench with an indicator, and at the end of the shift."""

from inventory.models import Role
from shop.guide.moments import Beginning, Guide, GuideLine, GuidePicture, Moment

_LOOK = Moment(
    title="A collet and an indicator: write down how it runs",
    in_hand="You have the piece, cleaned, its seat wiped, a ground pin in it and the indicator on the pin.",
    begin=Beginning("due", "Open What is due"),
    steps=(
        GuideLine("/t/C-0011/", "Scan or open the piece and tap [Inspect]."),
        GuideLine("/t/C-0022/inspect/", "Write the full swing under [TIR at the nose]: .0004, or 0.010 mm."),
        GuideLine("/t/C-0022/inspect/", "Tap what you found: [bell-mouthed], [cracked], [sprung], or [nothing]."),
        GuideLine("/t/C-0022/inspect/", "Say what it sat in: [Taken in], [On lathe] and [Pin]. Then [Save]."),
    ),
    answer=(
        GuideLine(
            "/t/C-0022/wear/",
            "Its page of wear compares readings “taken alike” only: same holder, lathe, pin and distance. So always "
            "say "
            "what it sat in.",
        ),
        GuideLine(
            "/t/C-0022/wear/",
            "“is forecast for” needs five such readings over two months, and a growth beyond their scatter. Until "
            "then it "
            "says that there is no forecast, and why.",
        ),
    ),
    no=(
        GuideLine("/t/C-0022/inspect/", "Over its limit it is due to be judged: tap [worn], [damaged] or [scrapped]."),
        GuideLine(
            "/t/C-0022/inspect/",
            "“Bell-mouthed, cracked or sprung takes it out of use, whatever it reads.” It is gone from the answers at "
            "once.",
        ),
        GuideLine(
            "/t/C-0011/",
            "A look that was wrong is corrected, not wiped out: [Correct].",
        ),
    ),
    care="While the indicator is on it, turn the spindle by hand only, with the power isolated. Do not try a doubtful "
    "collet under a cut to see whether it holds.",
    picture=GuidePicture(
        name="keeper-inspect",
        at="/t/C-0022/inspect/",
        height=600,
        says="Inspect C-0022: the field TIR at the nose with its limit and the last reading, then what was found, from "
        "nothing to bell-mouthed, cracked and sprung.",
    ),
)

_SHIFT = Moment(
    title="End of the shift: what is out, due, or not in its drawer",
    in_hand="You have five minutes and the phone.",
    begin=Beginning("desk", "Open Desk"),
    steps=(
        GuideLine("/desk/", "Tap [Desk]. “Overdue” and “Out” name who has what, and since when."),
        GuideLine(
            "/desk/",
            "[All … that are due] lists every look that is to be taken, with the reason.",
        ),
        GuideLine(
            "/desk/", "[Fill them in, one after the other] asks for the details without which a piece is never offered."
        ),
        GuideLine("/t/C-0036/", "What turns up again: open it and tap [Found]."),
        GuideLine("/t/C-0012/", "What lies on the bench: open it and tap [Bring back]."),
    ),
    answer=(
        GuideLine("/desk/", "“Low stock” counts what carries no tag, over all places, against the mark that you set."),
        GuideLine(
            "/desk/", "“Damaged” stays in Gripbook and out of the answers, until you scrap it or take it back into use."
        ),
    ),
    picture=GuidePicture(
        name="keeper-desk",
        at="/desk/",
        says="The desk: what to do first, each with its reason and one tap: inspect a live center that reads over its "
        "limit, get a 7/8 collet back that is overdue.",
    ),
)

_TOMORROW = Moment(
    title="A job for tomorrow, and what the next shift has to know",
    in_hand="You have the setup sheet of a job, and the shift ends.",
    begin=Beginning("lay_out", "Open Tomorrow's jobs"),
    steps=(
        GuideLine("setup sheet", "Open its setup sheet and tap [Reserve its pieces]."),
        GuideLine(
            "reserve for a job", "Say [From the day] and [At], then tap [Reserve … pieces]. What is not free is said."
        ),
        GuideLine(
            "/desk/lay-out/", "Open “Tomorrow's jobs” and print it: each piece by its drawer, with a box to tick."
        ),
        GuideLine("/desk/shift/", "Write [A note for the next shift], then [Write it down]. It is never changed."),
    ),
    answer=(
        GuideLine("setup sheet", "“Free again” says when: nobody has to lift what no one came for."),
        GuideLine("/desk/shift/", "“Waits” names what is reserved and out, “Came back damaged” by whom and which job."),
    ),
)

_COUNT = Moment(
    title="A drawer to count",
    in_hand="You stand before the open drawer.",
    begin=Beginning("place_list", "Open Places"),
    steps=(
        GuideLine("/desk/", "Scan the drawer's label, or go by [Desk] and [Places]."),
        GuideLine("place E4", "Tap [Count it]. Several people and phones may count on; nothing changes yet."),
        GuideLine(
            "count of E4",
            "Tick the tags that you see, then [They are here]; in a full drawer tick what is missing, then "
            "[All here except those ticked].",
        ),
        GuideLine(
            "count of E4",
            "Something lies here that does not belong: write its [Tag], then [Move it here] or [It goes back to its "
            "place].",
        ),
        GuideLine(
            "count of E4", "When you have looked everywhere, close it: [Close: the … that nobody saw are missing]."
        ),
    ),
    answer=(
        GuideLine(
            "count of E4",
            "“To look for” is what should be here and was not seen yet. Closing makes it missing, and answers leave "
            "it out.",
        ),
    ),
    no=(
        GuideLine("count of E4", "Begun by mistake: [Drop the count, change nothing]."),
        GuideLine(
            "count of E4",
            "What somebody took or brought meanwhile beats your tick. A count that changed while you looked says so, "
            "and closes nothing.",
        ),
    ),
    picture=GuidePicture(
        name="keeper-count",
        at="count of E4",
        under="Tick what you see",
        height=760,
        says="The count of drawer E4: seven tags to tick, and the buttons that say of them that they are here, or not.",
    ),
)

_NEW = Moment(
    title="New pieces: into Gripbook, with a label",
    in_hand="You have a new or unlisted piece, and perhaps a caliper.",
    begin=Beginning("tool_add", "Enter a piece"),
    steps=(
        GuideLine("/tooling/", "Tap [Tooling], then [Enter a piece], and its kind."),
        GuideLine("/tooling/add/collet/", "Write the [Tag] that you etch on it, [Series] and [Size], then [Save]."),
        GuideLine("/tooling/add-rack/", "A whole rack: say [From], [To] and [Step], then [Show the sizes]."),
        GuideLine(
            "/labels/", "Print what goes on the slot: [Labels for all the pieces in a drawer], then [See the labels]."
        ),
    ),
    answer=(
        GuideLine(
            "/tooling/add/collet/",
            "“Leave empty what you do not know”: an empty field is unknown, never zero. A guess would be believed.",
        ),
        GuideLine("/tooling/add/collet/", "A range that is marked on the piece “beats the series' own figures”."),
    ),
    no=(
        GuideLine(
            "/tooling/details-missing/",
            "A piece that is never offered lacks a detail: [Save and next] goes through them all.",
        ),
    ),
    care="Write weight, marked speed and range as they are stamped. Cautions are worked out from them; what is not in "
    "Gripbook cannot warn.",
)

GUIDE = Guide(
    slug="keeper",
    role=Role.KEEPER,
    name="The crib keeper",
    in_short="Log what the indicator says in four taps, see the wear against its limit, and take what is bell-mouthed "
    "out of use at once. At the end of the shift one page says what is out, overdue, due and not in its drawer; a "
    "drawer is counted by its label.",
    moments=(_LOOK, _SHIFT, _TOMORROW, _COUNT, _NEW),
)
