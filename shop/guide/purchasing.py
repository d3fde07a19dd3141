"""For purchasing: at a desk, once a month."""

from inventory.models import Role
from shop.guide.moments import Beginning, Guide, GuideLine, GuidePicture, Moment

_SHORT = Moment(
    title="What are we short of, and why?",
    in_hand="You have what people asked for, and no idea yet what it is worth.",
    begin=Beginning("buying", "Open Buying"),
    steps=(
        GuideLine("/buying/", "Tap [Buying]. [All … that are short] lists everything."),
        GuideLine("/buying/short/", "[Put it on the order list] takes one tap."),
        GuideLine(
            "/buying/",
            "[Our stock bar] is what the shop wants to be able to hold; say there how much each bar matters.",
        ),
        GuideLine("/buying/", "Asked for, not held: [Add to our stock bar], or [Dismiss] it."),
    ),
    answer=(
        GuideLine(
            "/buying/short/",
            "“part needed to use them” comes first: one closer or drawbar can open many sizes on a lathe.",
        ),
        GuideLine(
            "/buying/short/", "“size not held” and “only one” say which bar they are for, and how often it was asked."
        ),
    ),
    no=(
        GuideLine(
            "/buying/",
            "A blank may do instead of buying: [Blank or buy] says which to bore to what, the smallest bore first.",
        ),
        GuideLine("/buying/", "Something that is no size, like a key: [Ask for something else]."),
    ),
    picture=GuidePicture(
        name="purchasing-short",
        at="/buying/short/",
        says="What is short, and why: MT3 drawbar, the part needed to use ER16 on two lathes; then "
        "a 5C closer for the threaded nose; each with its button to the order list.",
    ),
)

_BUY = Moment(
    title="What do we buy with this much money?",
    in_hand="You have a sum, or the order to buy all that is needed for as little as can be.",
    begin=Beginning("buy", "Open What to buy"),
    steps=(
        GuideLine("/buying/", "Prices first: [Prices]. A size without a price is never bought, and the list says so."),
        GuideLine("/buying/", "Tap [What to buy]."),
        GuideLine("/buying/buy/", "Write the sum under [Budget], or leave it empty; tap [Work it out]."),
        GuideLine("/buying/buy/?budget=100", "Untick what you do not want, then [Put these on the order list]."),
        GuideLine("/buying/orders/", "What came from the list is ticked already: [Order selected]."),
    ),
    answer=(
        GuideLine(
            "/buying/buy/?budget=100",
            "“Proved” means that no other choice at these prices does better; it is no estimate.",
        ),
        GuideLine("/buying/buy/?budget=100", "“Demand met” counts each bar by how much it matters."),
    ),
    no=(
        GuideLine(
            "/buying/buy/?budget=100",
            "“Still not held” says of each bar why: over the budget, no price, or no lathe that takes the series.",
        ),
    ),
    picture=GuidePicture(
        name="purchasing-buy",
        at="/buying/buy/?budget=100",
        under="Buy 4 things",
        says="Buy 4 things for 91.40 of 100 dollars: that meets the most demand for the money. Proved; below it each "
        "thing with its price and the bar that it holds.",
    ),
)

_ORDER = Moment(
    title="Order it, and receive it",
    in_hand="You have the offer of a dealer, or the parcel.",
    begin=Beginning("orders", "Open the order list"),
    steps=(
        GuideLine(
            "/buying/orders/",
            "Tick what may be bought, then [Approve selected]; what is bought, then [Order selected].",
        ),
        GuideLine("/buying/orders/", "[Print what is on order] makes the sheet that goes out."),
        GuideLine("/buying/orders/", "The parcel is here: [Receive]."),
        GuideLine("receive 7/8", "Say [How many came], [Tag of the first] and [Drawer or place], then [Receive it]."),
    ),
    answer=(
        GuideLine("/buying/orders/", "“Late” is on order beyond the day that it was expected on."),
        GuideLine("receive 7/8", "What is received is in Gripbook from that tap on, “as good”, and in the answers."),
    ),
    no=(
        GuideLine("/buying/orders/", "Not to be had: tick it and [Remove selected]. Its history stays."),
        GuideLine("receive 7/8", "Wrong or cancelled: [Its line, to edit or drop it]."),
    ),
    care="Speed and weight that are marked on a chuck belong into Gripbook with it: cautions are worked out from them. "
    "Whether a piece fits a machine is for its maker's manual to say.",
)

_MEETING = Moment(
    title="Five figures for the meeting",
    in_hand="You have a quarter to account for.",
    begin=Beginning("meeting", "Open For the meeting"),
    steps=(GuideLine("/buying/meeting/", "Say [From] and [To], then [Show the period]."),),
    answer=(
        GuideLine(
            "/buying/meeting/",
            "“Spent and scrapped”, “Cost per series”, “Not issued in a year”, “Asked for, not held”, and what wear "
            "will have replaced.",
        ),
    ),
)

GUIDE = Guide(
    slug="purchasing",
    role=Role.PURCHASING,
    name="Purchasing",
    in_short="See what is short and why, ranked by what it would open; give a budget and get the buy that is proved to "
    "hold the most bar for it; take it to the order list, approve, order, receive. What people asked for and the crib "
    "does not hold is counted for you, without names.",
    moments=(_SHORT, _BUY, _ORDER, _MEETING),
)
