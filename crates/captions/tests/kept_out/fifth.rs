//! A fifth set of films made by hand, with less that misleads than the fourth: nothing was changed after it was first
//! judged.

use super::Set;
use captions::Kind;

pub(crate) const FIFTH: Set = Set {
    terms: &[
        (
            Kind::Maker,
            "Trivanta",
            &["tree vanta", "try vanta", "trivantor", "trivander"],
        ),
        (
            Kind::Maker,
            "Oskelund Power",
            &["oscar lund power", "oskerlund power", "os kelund power"],
        ),
        (
            Kind::Maker,
            "Myrtec",
            &["mur tech", "mirror tech", "murtek", "myrtek"],
        ),
        (
            Kind::Maker,
            "Fenwick Circuits",
            &["fen wick circuits", "fenwick circus", "fennick circuits"],
        ),
        (
            Kind::Maker,
            "Dorsalla",
            &["door salla", "dorsal a", "dorsala", "torsalla"],
        ),
        (
            Kind::Name,
            "ceramic capacitor",
            &[
                "ceramic capacity",
                "sir ramic capacitor",
                "keramik capacitor",
            ],
        ),
        (
            Kind::Name,
            "rectifier",
            &["wrecked a fire", "rectify her", "rektifier"],
        ),
        (
            Kind::Name,
            "Harbour Mini",
            &["harper mini", "harbor mini", "harbour many"],
        ),
        (
            Kind::Part,
            "BQ7043",
            &["bee queue seventy forty three", "b q 7043", "dq7043"],
        ),
        (
            Kind::Part,
            "SR2210F",
            &[
                "ess are twenty two ten eff",
                "s r 2210 f",
                "sr double two one oh f",
            ],
        ),
        (
            Kind::Part,
            "LUMA19",
            &["looma nineteen", "lou ma 19", "luma one nine"],
        ),
        (
            Kind::Quantity,
            "7.4 V",
            &["7.4 bolts", "seven point four faults", "74 volts"],
        ),
        (
            Kind::Quantity,
            "2150 mAh",
            &[
                "2150 million powers",
                "twenty one fifty milliamp ours",
                "2150 mill yam powers",
            ],
        ),
        (
            Kind::Quantity,
            "61.8 g",
            &["61.8 grahams", "sixty one point eight crams", "618 grams"],
        ),
        (
            Kind::Quantity,
            "330 µF",
            &[
                "330 micro ferrets",
                "three thirty mike row farads",
                "330 macro farads",
            ],
        ),
        (
            Kind::Quantity,
            "0.9 A",
            &["zero point nine ants", "0.9 lamps", "point nine hamps"],
        ),
    ],
    siblings: &["BQ7034", "SR2212F", "LUMA18"],
    frames: &[
        ("Behind the speaker hides", "which I did not expect."),
        ("A closer look tells us", "is what they used."),
        ("The drawing mentions", "twice on one page."),
        ("With the lid off you can see", "from both sides."),
        ("I wrote down", "before the lamp went out."),
    ],
    right: &[
        "Give me a moment to find the right bit for these screws.",
        "Three of the clips broke although I was gentle with them.",
        "I do not think that the seal survives being opened.",
        "It came in a plain brown box with no manual.",
        "Let me know whether you own one and how it has aged.",
        "The circus came to town and nobody has slept since.",
        "What a mirror finish, you can see the whole room in it.",
        "Our tech support was very helpful in the end.",
        "The capacity on the box is a lie, as always.",
        "There is a BQ7034 in here as well, mind the difference.",
        "The LUMA18 ran much warmer than this one does.",
        "You need 5 volts on this pin and nothing on that one.",
        "About 300 lamps were tested before they stopped.",
        "The shaft has a dorsal fin, I do not know a better word.",
        "He tried to rectify the mistake in the second batch.",
        "Many of you asked about the harbour in the background.",
        "That wick holds the oil and it has dried out.",
        "We are at 60 grams now with half the parts out.",
        "First the battery, always the battery, then all the rest.",
        "The wires are long enough to turn the board around.",
        "Under the label are two more screws, of course.",
        "It is not waterproof, whatever the advert tells you.",
        "The Trivanta chip is warm, the Dorsalla one is not.",
        "You will want to replace the rectifier if it ever fails.",
        "I am impressed by how little glue there is.",
        "Now it goes back together in the opposite order.",
        "The hinge is pinned and the pin is peened over.",
        "A drop of oil and it turns like on the first day.",
        "They moved the antenna to the outer edge this time.",
        "Someone signed the inside of the lid, look at that.",
        "The lens is held by three tabs and some hope.",
        "Do write to me if your unit looks different inside.",
    ],
};
