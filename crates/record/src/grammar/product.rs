//! `[product]` and what hangs on it.

use super::{Ids, Key, Kind, Table, Thing, asked, evidence, may, need, note};

pub(crate) static PRODUCT: Table = Table {
    name: "product",
    thing: Thing::Product,
    natural: &[],
    doc: "the product as bought",
    keys: &[
        need("name", Kind::Text, "trade name"),
        need("maker", Kind::Text, "maker"),
        may("model", Kind::Text, "model code"),
        may(
            "hardware-revision",
            Kind::Text,
            "revision of the hardware, as printed or told by the software",
        ),
        may("firmware", Kind::Text, "version of the firmware it ran"),
        may(
            "condition",
            Kind::Text,
            "state before opening (sealed, used, does not switch on)",
        ),
        may("category", Kind::Text, "what it is, in words"),
        may("market", Kind::Text, "market it was made for"),
        may(
            "family",
            Kind::Text,
            "the family it belongs to: siblings and revisions of one family count once where products are compared",
        ),
        may(
            "released",
            Kind::Date,
            "first day on sale, as announced; what came first is judged by it",
        ),
        may("made", Kind::Date, "date of manufacture as printed"),
        may("bought", Kind::Date, "date bought"),
        need("opened", Kind::Date, "date opened"),
        may("analyst", Kind::Text, "who opened it"),
        may("price", Kind::Inline(&PRICE), "price paid"),
        may(
            "disclosure",
            Kind::Inline(&DISCLOSURE),
            "who paid, where the sample came from, who took the photographs",
        ),
        may(
            "complete",
            Kind::Boolean,
            "set when every part inside is listed: what is not listed is then taken to be absent",
        ),
        may(
            "invented",
            Kind::Boolean,
            "set for invented demonstration data; the report prints it",
        ),
        note(),
        may(
            "identifiers",
            Kind::Tables(&IDENTIFIER),
            "serial numbers and the like",
        ),
        may("labels", Kind::Tables(&LABEL), "label texts, word for word"),
        may(
            "accessories",
            Kind::Tables(&ACCESSORY),
            "what else was in the package",
        ),
        may(
            "samples",
            Kind::Tables(&SAMPLE),
            "further samples of the same product",
        ),
    ],
};

pub(crate) static PRICE: Table = Table {
    name: "product.price",
    thing: Thing::Price,
    natural: &[],
    doc: "price paid",
    keys: &[
        need(
            "paid",
            Kind::Quantity(&asked::MONEY),
            "amount with currency",
        ),
        may("tax-included", Kind::Boolean, "whether tax is included"),
        may("seller", Kind::Text, "where it was bought"),
    ],
};

pub(crate) static DISCLOSURE: Table = Table {
    name: "product.disclosure",
    thing: Thing::Disclosure,
    natural: &[],
    doc: "what readers must know of whoever is behind the report",
    keys: &[
        may(
            "paid-by",
            Kind::Text,
            "who paid for the sample and the work (the analyst, the maker, a competitor)",
        ),
        may(
            "sample-from",
            Kind::Text,
            "where the sample came from (bought in a shop, lent by the maker)",
        ),
        may(
            "photographs-by",
            Kind::Text,
            "who took the photographs that name nobody else",
        ),
    ],
};

pub(crate) static IDENTIFIER: Table = Table {
    name: "product.identifiers",
    thing: Thing::Identifier,
    natural: &["kind"],
    doc: "a serial number, article number or address",
    keys: &[
        need("kind", Kind::Text, "what it is (serial number, GTIN)"),
        need("text", Kind::Text, "as printed"),
        may(
            "private",
            Kind::Boolean,
            "set when nothing that is published may tell it: it is withheld here and in every other text of the record",
        ),
        evidence(),
    ],
};

const RATING: Kind = Kind::Rating;

pub(crate) static LABEL: Table = Table {
    name: "product.labels",
    thing: Thing::Label,
    natural: &["id"],
    doc: "the text of one label, word for word",
    keys: &[
        need("id", Kind::Id(Ids::Labels), "id for label:ID evidence"),
        need("place", Kind::Text, "where the label is"),
        need("text", Kind::Text, "the text, line breaks kept"),
        may(
            "private",
            Kind::List(&Kind::Text),
            "parts of the text that nothing published may tell: withheld here and in every other text of the record",
        ),
        may("input", RATING, "electrical input rating on this label"),
        may("output", RATING, "electrical output rating on this label"),
        may(
            "contact",
            Kind::Ref(Ids::Items),
            "the contact that the rating is about",
        ),
        evidence(),
    ],
};

pub(crate) static ACCESSORY: Table = Table {
    name: "product.accessories",
    thing: Thing::Accessory,
    natural: &["name"],
    doc: "something that came in the package",
    keys: &[need("name", Kind::Text, "name"), COUNT, note()],
};

pub(crate) static SAMPLE: Table = Table {
    name: "product.samples",
    thing: Thing::Sample,
    natural: &["name"],
    doc: "a further sample of the same product, and what differs",
    keys: &[
        need("name", Kind::Text, "name for readers (second sample)"),
        may("bought", Kind::Date, "date bought"),
        may("hardware-revision", Kind::Text, "revision of its hardware"),
        may("firmware", Kind::Text, "version of its firmware"),
        may("condition", Kind::Text, "state before opening"),
        may(
            "differs",
            Kind::List(&Kind::Text),
            "what differs from the sample that was opened first",
        ),
        evidence(),
        note(),
    ],
};

const COUNT: Key = may("count", Kind::Count, "how many, or unknown");
