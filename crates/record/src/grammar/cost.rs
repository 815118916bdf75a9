//! `[cost]`, `[[prices]]` and `[[rates]]`.

use super::{Ids, Kind, Table, Thing, Word, asked, may, need, note, word};

pub(crate) static COST: Table = Table {
    name: "cost",
    thing: Thing::Cost,
    natural: &[],
    doc: "for what the cost to build is worked out",
    keys: &[
        may(
            "volume",
            Kind::Whole { least: 1 },
            "how many are built in all",
        ),
        may(
            "currency",
            Kind::Words(CURRENCIES),
            "the currency of the answer; EUR if not given",
        ),
        may(
            "trade-margin",
            Kind::Quantity(&asked::SHARE_KEPT),
            "share of the price in the shop, before tax, that traders keep",
        ),
        may(
            "tax",
            Kind::Quantity(&asked::TAX),
            "tax on the price in the shop",
        ),
        note(),
    ],
};

pub(crate) static ITEM_PRICE: Table = Table {
    name: "prices",
    thing: Thing::ItemPrice,
    natural: &["of"],
    doc: "what one piece of an item costs, bought whole; goes before the price book",
    keys: &[
        need("of", Kind::Ref(Ids::Items), "the item"),
        need(
            "each",
            Kind::Quantity(&asked::MONEY),
            "price of one piece at the volume asked for",
        ),
        may(
            "within",
            Kind::Quantity(&asked::WITHIN),
            "how far off it may be: 8 times in 10 it lies within",
        ),
        need(
            "confidence",
            Kind::Words(PRICE_CONFIDENCES),
            "how sure it is",
        ),
        may("date", Kind::Date, "the day it held"),
        may("source", Kind::Text, "where it is from"),
        note(),
    ],
};

pub(crate) static RATE: Table = Table {
    name: "rates",
    thing: Thing::Rate,
    natural: &["of"],
    doc: "a rate of exchange of one day; goes before the price book",
    keys: &[
        need("of", Kind::Words(CURRENCIES), "the currency"),
        need(
            "is",
            Kind::Quantity(&asked::RATE),
            "what one of it is in another",
        ),
        may(
            "within",
            Kind::Quantity(&asked::WITHIN),
            "how far off it may be when the parts are bought",
        ),
        need("date", Kind::Date, "the day"),
        may("source", Kind::Text, "where it is from"),
    ],
};

pub(crate) const CURRENCIES: &[Word] = &[
    word("EUR", "euro"),
    word("USD", "dollar of the United States"),
    word("CNY", "yuan renminbi"),
    word("GBP", "pound sterling"),
    word("JPY", "yen"),
];

pub(crate) const PRICE_CONFIDENCES: &[Word] = &[
    word("quote", "quoted for such a purchase"),
    word("list", "on a public list"),
    word("estimate", "estimated by the analyst"),
];
