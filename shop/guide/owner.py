"""For the owner, who is the administrator: the first evening, and the few things that only they can do."""

from inventory.models import Role
from shop.guide.moments import Beginning, Guide, GuideLine, GuidePicture, Moment

_SHEET = Moment(
    title="The first evening: bring in the sheet that you have",
    in_hand="You have Gripbook running on the shop's computer, and a spreadsheet of the crib.",
    begin=Beginning("import_sheet", "Import a sheet"),
    steps=(
        GuideLine("/desk/shop/", "Say how the shop measures and where it is: [Desk], [The shop], then [Save]."),
        GuideLine("/desk/", "Tap [Desk], then [Import a sheet]."),
        GuideLine(
            "/desk/import/",
            "Choose the file under [The sheet], CSV or XLSX, as it is; [Send it and match its headings].",
        ),
        GuideLine("sheet to match", "Say what each column is, where it was not guessed; [See what it would do]."),
        GuideLine("sheet that was read", "Look through the rows, then [Enter …]. Until then nothing is written."),
        GuideLine("/lathes/", "Describe the machines: [Enter a lathe]. Only then is it checked what mounts on them."),
    ),
    answer=(
        GuideLine(
            "sheet that was read",
            "Each row is “new”, changed, the same or “cannot be read”, with the reason and what would be accepted.",
        ),
        GuideLine("/desk/import/", "“What belongs to no field goes into the notes.” Nothing of your sheet is lost."),
    ),
    no=(
        GuideLine(
            "sheet that was read",
            "What rows have in common is asked on top, once: [Use these answers]. What you leave open stays out.",
        ),
        GuideLine("/desk/", "Then [Fill them in, one after the other]: what the sheet did not say."),
    ),
    care="Weights, marked speeds and ranges decide what Gripbook warns of. What is missing or wrong in the sheet is "
    "missing or wrong in the warnings.",
    picture=GuidePicture(
        name="owner-import",
        at="/desk/import/",
        height=420,
        says="Import a sheet: the field for the file, what it accepts, and the button Send it and match its headings.",
    ),
)

_METRIC = Moment(
    title="A metric shop's first evening",
    in_hand="Your shop thinks in millimetres: 19.8 off the caliper, ER collets, 0.012 on the indicator.",
    begin=Beginning("the_shop", "Open The shop"),
    steps=(
        GuideLine(
            "/desk/shop/",
            "Tap [Desk], then [The shop]: choose [millimetres], the unit of “Run-out”, currency and “Dates”; [Save]. "
            "While Gripbook is empty it asks for the unit by itself.",
        ),
        GuideLine("/lathes/add/", "Enter the lathe: 40 as “Spindle bore” is 40 mm then."),
        GuideLine(
            "/tooling/add-rack/",
            "Enter the ER collets at once: the “Series” is ER32, from 3 to 20 by 1; [Show the sizes].",
        ),
        GuideLine("/", "Ask for the bar: 19.8, then [Find what holds it]."),
        GuideLine(
            "/t/C-0065/inspect/", "Write 0.012 under “TIR at the nose”. A 12 without its unit, µm, is asked back."
        ),
    ),
    answer=(
        GuideLine(
            "/?size=19.8&unit=mm",
            "“20 mm round, ER32”: a collet is called by its own size, 7/8 too. The address says the unit, so that the "
            "link means the same bar to whoever opens it.",
        ),
    ),
    no=(GuideLine("/desk/", "Who thinks in inches chooses it for themselves under [My units]."),),
    picture=GuidePicture(
        name="owner-metric",
        at="/?size=19.8&unit=mm",
        height=520,
        is_metric=True,
        says="The answer for a bar of 19.8 mm: a 20 mm ER32 collet, the drawer it lies in, how far it is from its "
        "limit and how true it runs, all in millimetres.",
    ),
)

_PEOPLE = Moment(
    title="Let the others in",
    in_hand="You have their names, and know what each may do.",
    begin=Beginning("desk", "Open Desk"),
    steps=(
        GuideLine(
            "/desk/",
            "Tap [Desk], then [People]. A first password is given by you; each changes it.",
        ),
        GuideLine(
            "/desk/people/add/",
            "Write the [Name to sign in with], choose the role (machinist, crib keeper, purchasing or administrator), "
            "then [Enter the person].",
        ),
        GuideLine(
            "/desk/",
            "On a phone: scan the code under [Connect a phone]. Each signs in once; the phone stays signed in for 90 "
            "days.",
        ),
    ),
    answer=(
        GuideLine(
            "/sign-in/",
            "“Sign out on one that others use.” Whoever changes their password puts all their other phones out.",
        ),
    ),
    no=(
        GuideLine(
            "/sign-in/",
            "After six wrong passwords the next try waits a minute, but not on a phone where that person signed in "
            "before. Who forgot a password gets a new one from you.",
        ),
    ),
)

_SAFE = Moment(
    title="Keep Gripbook safe",
    in_hand="You have a stick or another computer that is not in the same room.",
    begin=Beginning("backup", "Open Backup"),
    steps=(
        GuideLine("/desk/", "Tap [Desk], then [Backup]."),
        GuideLine("/desk/backup/", "[Download a backup]. Nobody has to stop working meanwhile."),
    ),
    answer=(GuideLine("/desk/backup/", "“It is read back and compared before it is handed out.”"),),
    no=(
        GuideLine(
            "/desk/backup/", "Putting one back is done at the computer itself, with serve stopped. The page says how."
        ),
    ),
    picture=GuidePicture(
        name="owner-backup",
        at="/desk/backup/",
        height=420,
        says="Backup: what the one file holds, the warning to keep it where only you can read it, and the button "
        "Download a backup.",
    ),
)

_FIGURES = Moment(
    title="The shop's own figures",
    in_hand="You know something about your collets, or your micrometers, that the tables do not.",
    begin=Beginning("series_list", "Open Series of collets"),
    steps=(
        GuideLine("/series/", "[5C round] opens what a collet of that series may grip, closed and opened."),
        GuideLine("/series/", "[Measuring allowance] widens every measured size by what your measuring is worth."),
        GuideLine("/series/", "[Enter a series of the shop's own] takes what no table has: W20, Morse shanks …"),
        GuideLine("/seats/", "[Enter a seat of the shop's own] does the same for a taper, a nose or a thread."),
        GuideLine("/desk/", "[Where our numbers come from] has each figure with its source."),
    ),
    answer=(
        GuideLine(
            "/series/",
            "“The shop's own figures win over the built-in ones, and a range that is marked on a piece over both.”",
        ),
    ),
    care="These figures decide what is called safe to grip. Widen one only with the collet maker's own data in hand.",
)

GUIDE = Guide(
    slug="owner",
    role=Role.ADMINISTRATOR,
    name="The owner, or administrator",
    in_short="Two commands, and it runs. The sheet that the shop keeps now comes in as it is: every row says what it "
    "would do before anything is written, and a bad one says why. Then people with their roles, phones by a code, and "
    "a backup in one file.",
    moments=(_SHEET, _METRIC, _PEOPLE, _SAFE, _FIGURES),
)
