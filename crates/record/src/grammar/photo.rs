//! `[[photos]]`, what of known size is in them, and `[[measures]]` taken on them.

use super::asked;
use super::{Ids, Kind, PHOTOS, Table, Thing, Word, may, need, note, word};

pub(crate) static PHOTO: Table = Table {
    name: "photos",
    thing: Thing::Photo,
    natural: &["id"],
    doc: "one picture in photos/",
    keys: &[
        need("id", Kind::Id(Ids::Photos), "id"),
        need("file", Kind::FileIn(PHOTOS), "file name inside photos/"),
        need(
            "caption",
            Kind::Text,
            "what it shows, for those who do not see it",
        ),
        may(
            "credit",
            Kind::Text,
            "who took it; as the disclosure of the product says if not given",
        ),
        may(
            "pixels",
            Kind::Row(&Kind::Whole { least: 1 }, 2),
            "width and height in pixels; read from the file if not given",
        ),
        may("scale", Kind::Inline(&SCALE), "a known length in view"),
        may(
            "camera",
            Kind::Inline(&CAMERA),
            "where the camera was; needed to correct for heights",
        ),
        may("after", Kind::Ref(Ids::Steps), "taken after this step"),
        may("taken", Kind::Moment, "when it was taken"),
        may(
            "hero",
            Kind::Boolean,
            "set for the one photograph that opens the report",
        ),
        note(),
        may(
            "references",
            Kind::Tables(&REFERENCE),
            "other things of known size, in the same plane",
        ),
        may("regions", Kind::Tables(&REGION), "named rectangles"),
    ],
};

const PIXELS: f64 = 1e6;
const POINT: Kind = Kind::Row(
    &Kind::Number {
        low: 0.0,
        high: PIXELS,
    },
    2,
);

pub(crate) static SCALE: Table = Table {
    name: "photos.scale",
    thing: Thing::Scale,
    natural: &[],
    doc: "two points a known distance apart",
    keys: &[
        need("from", POINT, "first point: x, y in pixels"),
        need("to", POINT, "second point: x, y in pixels"),
        need(
            "length",
            Kind::Quantity(&asked::LENGTH),
            "the distance between them",
        ),
    ],
};

pub(crate) static CAMERA: Table = Table {
    name: "photos.camera",
    thing: Thing::Camera,
    natural: &[],
    doc: "where the camera was (distance or focal length is enough), and its lens",
    keys: &[
        may(
            "distance",
            Kind::Quantity(&asked::CAMERA_DISTANCE),
            "from the plane of the references to the lens",
        ),
        may(
            "equivalent-focal-length",
            Kind::Quantity(&asked::FOCAL_LENGTH),
            "focal length that gives the same view on a frame of 36 mm × 24 mm",
        ),
        may(
            "distortion",
            Kind::Quantity(&asked::DISTORTION),
            "most that the lens displaces the corner of the picture, as a share of half its diagonal; 1.7 % if not given",
        ),
        may(
            "tilt",
            Kind::Quantity(&asked::CAMERA_TILT),
            "most that the view is off straight down, used where the things of known size enclose no area; within 20° in 19 of 20 photographs if not given (held by hand)",
        ),
    ],
};

const WITHIN: Kind = Kind::Number {
    low: 0.001,
    high: 100.0,
};
const WITHIN_DOC: &str =
    "standard uncertainty of a point in each direction, pixels; 1.2 if not given (set by hand)";

const SNAPPED: Kind = Kind::Row(
    &Kind::Number {
        low: -100.0,
        high: 100.0,
    },
    3,
);
const SNAPPED_DOC: &str = "for each point found in the pixels, in place of within: its standard uncertainty, how far it moves outwards for one standard uncertainty of the picture's tones, and the shift that the points of its side have together, pixels";

const ON_SIDES_DOC: &str = "set when the points lie on the sides of an outline, three to each in the order of the sides, at the middle and 0.775 of half the length on either hand, instead of at the corners";

pub(crate) static REFERENCE: Table = Table {
    name: "photos.references",
    thing: Thing::Reference,
    natural: &["name"],
    doc: "something of known size that was marked in the picture",
    keys: &[
        need("name", Kind::Text, "what it is (steel ruler)"),
        need(
            "shape",
            Kind::Words(REFERENCE_SHAPES),
            "what was marked of it",
        ),
        need("at", Kind::List(&POINT), "the points: x, y in pixels"),
        may("on-sides", Kind::Boolean, ON_SIDES_DOC),
        may(
            "length",
            Kind::Quantity(&asked::LENGTH),
            "distance of two points, or side of a rectangle from its first to its second corner",
        ),
        may(
            "width",
            Kind::Quantity(&asked::LENGTH),
            "side of a rectangle from its second to its third corner",
        ),
        may(
            "marks",
            Kind::List(&Kind::Quantity(&asked::MARK)),
            "what the ruler says at each point",
        ),
        may(
            "pitch",
            Kind::Quantity(&asked::LENGTH),
            "distance from one point to the next of a ruler or grid",
        ),
        may(
            "columns",
            Kind::Whole { least: 1 },
            "points in one row of a grid",
        ),
        may("within", WITHIN, WITHIN_DOC),
        may("snapped", Kind::List(&SNAPPED), SNAPPED_DOC),
    ],
};

pub(crate) const REFERENCE_SHAPES: &[Word] = &[
    word(
        "distance",
        "two points a known distance apart; needs length",
    ),
    word(
        "rectangle",
        "four corners, one after the other, or points on its sides; needs length and width",
    ),
    word(
        "ruler",
        "two or more points on a ruler; needs marks, or pitch where every mark was taken",
    ),
    word(
        "grid",
        "points of a grid, row by row; needs pitch and columns",
    ),
    word("unknown", "not noted; it is kept and not used"),
];

pub(crate) static MEASURE: Table = Table {
    name: "measures",
    thing: Thing::Measure,
    natural: &["id"],
    doc: "a reading taken on a photograph: what was marked; the value is worked out from it",
    keys: &[
        need("id", Kind::Id(Ids::Measures), "id"),
        need("photo", Kind::Ref(Ids::Photos), "the photo"),
        may("item", Kind::Ref(Ids::Items), "the item measured"),
        may(
            "region",
            Kind::RegionOf("photo"),
            "the region of the photo whose outline was measured",
        ),
        need("what", Kind::Words(MEASURE_SUBJECTS), "what was measured"),
        need(
            "at",
            Kind::List(&POINT),
            "the points: x, y in pixels from the top left corner of the picture",
        ),
        may("on-sides", Kind::Boolean, ON_SIDES_DOC),
        may("within", WITHIN, WITHIN_DOC),
        may("snapped", Kind::List(&SNAPPED), SNAPPED_DOC),
        may(
            "steps",
            Kind::List(&Kind::Whole { least: 0 }),
            "for a pitch where not every thing was marked: steps from the first point to each",
        ),
        may(
            "height",
            Kind::Quantity(&asked::HEIGHT_ABOVE),
            "height of the points above the plane of the references; usual for the item if not given",
        ),
        may(
            "replaces",
            Kind::Ref(Ids::Measures),
            "the measure it takes the place of, which stays in the record",
        ),
        note(),
    ],
};

pub(crate) const MEASURE_SUBJECTS: &[Word] = &[
    word("length", "greatest extent of an item: two points"),
    word("width", "extent across: two points"),
    word("height", "extent upwards: two points"),
    word("thickness", "least extent: two points"),
    word("diameter", "diameter: three or more points on the rim"),
    word(
        "body",
        "length and width: four corners, one after the other",
    ),
    word("area", "area: three or more corners, one after the other"),
    word(
        "pitch",
        "pitch of a row of equal things: two or more in order",
    ),
    word(
        "angle",
        "angle: three points, the second where the sides meet",
    ),
    word("distance", "distance of two points, no size of an item"),
    word("unknown", "not noted; the points are kept and not used"),
];

pub(crate) static REGION: Table = Table {
    name: "photos.regions",
    thing: Thing::Region,
    natural: &["id"],
    doc: "a named rectangle in a picture",
    keys: &[
        need("id", Kind::Id(Ids::Regions), "id within the photo"),
        need(
            "rect",
            Kind::Row(&Kind::Whole { least: 0 }, 4),
            "left, top, width, height in pixels",
        ),
        may("item", Kind::Ref(Ids::Items), "the item seen there"),
        may(
            "outline",
            Kind::Boolean,
            "set when the rectangle is the outline of the item, along the sides of the picture: it is measured",
        ),
        may(
            "height",
            Kind::Quantity(&asked::HEIGHT_ABOVE),
            "height of the outline above the plane of the references; usual for the item if not given",
        ),
        may(
            "private",
            Kind::Boolean,
            "set when nothing that is published may show what is there (a serial number, an address): it is filled in every picture",
        ),
        may("caption", Kind::Text, "caption"),
    ],
};
