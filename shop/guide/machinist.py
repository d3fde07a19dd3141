"""For the machinist: at the lathe, with a phone in one hand."""

from inventory.models import Role
from shop.guide.moments import Beginning, Guide, GuideLine, GuidePicture, Moment

_ANSWER = "/?size=.7485"
_PLAN = "/plan/?size=.7485&length=9&parts=12&setups=2&tir=.001"
_WAY = "/plan/collet/?size=.7485&length=2&parts=12"

_BAR = Moment(
    title="A bar in your hand: what holds it?",
    in_hand="You have the bar, wiped and without a burr, and a micrometer. Mic it where it will be gripped, twice, a "
    "quarter turn apart.",
    begin=Beginning("find", "Open Find"),
    steps=(
        GuideLine("/", "[Find] opens first. Write what the micrometer says under [Size]: .7485, 3/4 or 19 mm."),
        GuideLine("/", "Tap [hex] or [square] if the bar is one; its size is then across the flats."),
        GuideLine(
            "/",
            "Two different readings, a bar with a label, or a run-out that you need: unfold "
            "[Low and high, a bar's label, TIR, millimetres].",
        ),
        GuideLine("/", "Tap [Find what holds it]."),
        GuideLine(
            _ANSWER,
            "Tap [Take C-0011], with the tag of your answer. The next one who asks then knows it is out.",
        ),
    ),
    answer=(
        GuideLine(
            _ANSWER,
            "The first line is the verdict: “Holds”, with how much there is to spare. Under it stand the collet, its "
            "drawer in a frame, and every piece from the spindle nose to the bar.",
        ),
        GuideLine(
            _ANSWER,
            "“How true” adds up the run-out of all these pieces, worst case; the axis is off by half of it. “Runs as "
            "marked”: the bar lies in the dashed zone of the drawing.",
        ),
        GuideLine(
            "/?size=1.0672",
            "“At the limit”: it holds, but so near to an end of its range that you mic all of the grip.",
        ),
        GuideLine(
            "/?size=.748-.756",
            "“Mic it first”: some of such bars fit and some do not. The answer says up to which size. “Outside the "
            "zone” "
            "means that no run-out is promised.",
        ),
        GuideLine(
            _ANSWER, "“Take care.” begins each caution. They are worked out from this very set-up; read them first."
        ),
    ),
    no=(
        GuideLine(
            "/?size=2.9",
            "“No collet here holds it”: what leads then is a chuck, with the TIR that you give up. Others stand under "
            "“Also holds”, each with its own cautions.",
        ),
        GuideLine(
            "/?size=.748-.756",
            "“Size not held” names the one that would hold all of it. [Ask purchasing for it] takes one tap.",
        ),
        GuideLine("/?size=2.9", "“Nearest sizes” says by how much they miss. That is for ordering, never for forcing."),
        GuideLine("/?size=12", "A number that could be inches or millimetres is asked back: tap [12 mm] or [12 in]."),
    ),
    care="Never close a collet empty or on a bar below its range, and never drive it over a larger one: it takes a set "
    "or breaks, and the bar comes out. Isolate the power while you mount; take the key out before anything turns.",
    picture=GuidePicture(
        name="machinist-answer",
        at=_ANSWER,
        height=640,
        says="The answer for 0.7485 in: Holds, 0.0035 in to spare; 3/4 round 5C, drawer E2; the bar drawn inside the "
        "range and the true zone; nose, closer and collet with their run-out; 0.0008 in TIR in all.",
    ),
)

_JOB = Moment(
    title="A job to plan: which way to hold it?",
    in_hand="You have the drawing: how long, how many, how often it is gripped anew, and how true one set-up must be "
    "to "
    "the next.",
    begin=Beginning("plan", "Open Plan"),
    steps=(
        GuideLine(
            "/plan/",
            "Tap [Plan]. Fill in what you know: [Size], [Whole length], [Parts], [Set-ups], [TIR between set-ups].",
        ),
        GuideLine("/plan/", "Tap [Compare the ways]."),
        GuideLine(_PLAN, "Tap [How to set it up] for the way that leads, or any other under “All ways, best first”."),
        GuideLine(_WAY, "Tap [Make the setup sheet] to keep it: its pick list is issued to you with one tap."),
        GuideLine(
            "/plan/sheets/",
            "The next time, find it under “Setup sheets” by its [Part number or name]: it says what is here today.",
        ),
    ),
    answer=(
        GuideLine(
            _PLAN, "“all here”: every piece is in the crib and free. “missing” names what is not; “cannot” says why."
        ),
        GuideLine(_PLAN, "“true enough” and “misses the TIR” compare the way with the TIR that you asked for."),
        GuideLine(_WAY, "“In this order” lists the steps, from the isolated power to the indicator on the work."),
    ),
    no=(
        GuideLine(
            _PLAN,
            "A way that misses it can still do for one set-up: dial in, or turn all that must be true in one grip.",
        ),
        GuideLine(_PLAN, "Tap your question at the top (“change”) and try other parts, set-ups or another lathe."),
    ),
    care="A chuck of more than 25 lb is no lift for one person over the bed: board on the ways, two people or a hoist. "
    "Long work that stands out without a center can whip; the plan says from which length on.",
    picture=GuidePicture(
        name="machinist-plan",
        at=_PLAN,
        under="All ways, best first",
        says="The table of all ways for twelve parts: independent chuck, between centers and a split bushing, all here "
        "and true enough; the universal chuck, all here, but it misses the TIR that was asked.",
    ),
)

_PIECE = Moment(
    title="A piece in your hand: whose is it, and is it good?",
    in_hand="You have a collet, a chuck or a center with a tag etched on it, or the label of a drawer before you.",
    begin=Beginning("tool_list", "Open Tooling"),
    steps=(
        GuideLine(
            "/tooling/",
            "Scan the label's code, or tap [Tooling] and write under [Size, tag, drawer or word] what it is: 7/16 5C, "
            "drawer E2; tap [Look up].",
        ),
        GuideLine("/t/C-0011/", "To use it: [Take it], or [Put it on a lathe]."),
        GuideLine(
            "/t/C-0011/", "Something is wrong with it: [Inspect, or report what is wrong]. Say there what you found."
        ),
        GuideLine(
            "/t/C-0011/",
            "It is not where it belongs: unfold [Not in its drawer], then [Write down that C-0011 is missing].",
        ),
        GuideLine("/tooling/which-collet/", "No mark on a collet: measure it and tap [Look it up]."),
    ),
    answer=(
        GuideLine(
            "/t/C-0011/",
            "“Clamps” is from the smallest to the largest that it may grip; “Runs as marked” is its true zone.",
        ),
        GuideLine(
            "/?size=.7485", "“Not offered” on an answer says which piece was left out, and why: damaged, out, missing."
        ),
    ),
    care="A collet that is bell-mouthed, cracked or sprung can read well on a pin and let go under a cut. Report it "
    "and "
    "leave it out; only a crib keeper takes it back into use.",
)

_BACK = Moment(
    title="Done with it: back to its drawer",
    in_hand="You have the pieces, wiped clean.",
    begin=Beginning("my_pieces", "Open Mine"),
    steps=(
        GuideLine("/mine/", "Tap [Mine] at the top. [Bring back] ends the loan."),
        GuideLine(
            "/t/C-0010/",
            "It came back hurt: open it and tap [It came back damaged]. It is out of use from that tap on.",
        ),
    ),
    answer=(GuideLine("/mine/", "“Drawer” says where it goes back."),),
    no=(
        GuideLine(
            "/mine/",
            "The network was gone when you tapped? Open the page again and look before you tap once more. A tap that "
            "was "
            "sent twice does nothing twice.",
        ),
    ),
    picture=GuidePicture(
        name="machinist-mine",
        at="/mine/",
        height=300,
        says="Mine: 11/16 round 5C collet, the drawer E2 that it goes back to, since when it is out, and when it "
        "is expected back, with the button Bring back.",
    ),
)

_CARD = Moment(
    title="Where no signal is: the pocket card",
    in_hand="You have the phone, and stand where there still is signal: by the crib, in the morning.",
    begin=Beginning("card", "Open the pocket card"),
    steps=(
        GuideLine("/", "Tap [Pocket card] under the question."),
        GuideLine(
            "/card/",
            "Tap [Download the card], and open it from the phone's files. It is one file, and needs no signal. "
            "For the wall tap [Open it to read or print], and print it: one or two pages.",
        ),
        GuideLine("/card/open/", "Write what the micrometer says under [Look a size up], and tap the shape."),
    ),
    answer=(
        GuideLine(
            "/card/open/",
            "“As of” says when it was made. “5C round” and the families after it have every size that a lathe can "
            "hold, with its decimal, the range that it grips, and its drawer. “Chucks” and “Blanks to be bored” come "
            "after them.",
        ),
    ),
    no=(
        GuideLine(
            "/card/open/",
            "“It may be old”: what was lent, damaged or lost since still stands on it. See what lies in the drawer, "
            "and ask Find where there is signal.",
        ),
    ),
    picture=GuidePicture(
        name="machinist-card",
        at="/card/open/",
        height=700,
        says="The pocket card: as of its day and time in large, that it may be old, a field to look a size up with its "
        "shape, and the way to each lathe.",
    ),
)

GUIDE = Guide(
    slug="machinist",
    role=Role.MACHINIST,
    name="The machinist",
    in_short="Mic the bar, type what you read, tap once: one screen says which collet holds it, from which drawer, "
    "through which closer, on which lathe, and how true it runs. Where no collet does, it says what does, what is "
    "nearest, and lets you ask for what is missing.",
    moments=(_BAR, _JOB, _PIECE, _BACK, _CARD),
)
