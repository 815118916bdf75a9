//! `[[films]]`, `[[pronunciations]]`, `[[caption-rulings]]` and `[[past-rulings]]`.

use super::{Ids, Kind, Table, Thing, may, need};

pub(crate) static FILM: Table = Table {
    name: "films",
    thing: Thing::Film,
    natural: &["id"],
    doc: "an edited film of the opening",
    keys: &[
        need("id", Kind::Id(Ids::Films), "id"),
        may("title", Kind::Text, "title"),
        may("length", Kind::FilmTime, "how long it is"),
        may("clips", Kind::Tables(&CLIP), "what it was cut from"),
        may(
            "cuts",
            Kind::Tables(&CUT),
            "what was taken of which clip, in the order of the film; the one clip as it is if there are none",
        ),
    ],
};

pub(crate) static CLIP: Table = Table {
    name: "films.clips",
    thing: Thing::Clip,
    natural: &["name"],
    doc: "what a camera recorded in one go, tied to the clock of the steps by one moment",
    keys: &[
        need("name", Kind::Text, "name, such as that of its file"),
        need(
            "at",
            Kind::FilmTime,
            "a time of the clip at which the clock is known",
        ),
        need("clock", Kind::Moment, "what the clock said then"),
    ],
};

pub(crate) static CUT: Table = Table {
    name: "films.cuts",
    thing: Thing::Cut,
    natural: &["clip", "from"],
    doc: "a piece of a clip in the edited film",
    keys: &[
        need("clip", Kind::Text, "the name of the clip"),
        need("from", Kind::FilmTime, "where the piece begins in the clip"),
        need("to", Kind::FilmTime, "where it ends"),
    ],
};

pub(crate) static PRONUNCIATION: Table = Table {
    name: "pronunciations",
    thing: Thing::Pronunciation,
    natural: &["word"],
    doc: "how a name or part number is said",
    keys: &[
        need("word", Kind::Text, "as it is written"),
        need(
            "said",
            Kind::List(&Kind::Text),
            "ways to say it, spelled as everyday words (shoo kay)",
        ),
        may("ipa", Kind::Text, "in the International Phonetic Alphabet"),
    ],
};

pub(crate) static RULING: Table = Table {
    name: "caption-rulings",
    thing: Thing::CaptionRuling,
    natural: &["file", "before", "after"],
    doc: "what was decided on a correction of captions",
    keys: &[
        need("file", Kind::Text, "file inside captions/"),
        need("before", Kind::Text, "the words as they stood"),
        need("after", Kind::Text, "the words that were proposed"),
        need("accepted", Kind::Boolean, "whether the correction is made"),
    ],
};

pub(crate) static PAST_RULING: Table = Table {
    name: "past-rulings",
    thing: Thing::PastRuling,
    natural: &["file", "part"],
    doc: "what was decided on a part that a text published before speaks of",
    keys: &[
        need("file", Kind::Text, "file inside past/"),
        need("part", Kind::Text, "the part number as it stands there"),
        need(
            "accepted",
            Kind::Boolean,
            "whether it is taken as a part of the product",
        ),
    ],
};
