//! `[[recordings]]`: sound recordings, and what was heard in them.

use super::{Ids, Kind, RECORDINGS, Table, Thing, Word, asked, evidence, may, need, note, word};

pub(crate) static RECORDING: Table = Table {
    name: "recordings",
    thing: Thing::Sound,
    natural: &["id"],
    doc: "one channel of a sound recording",
    keys: &[
        need("id", Kind::Id(Ids::Recordings), "id"),
        need(
            "file",
            Kind::FileIn(RECORDINGS),
            "file name inside recordings/",
        ),
        need("what", Kind::Words(RECORDING_KINDS), "what was recorded"),
        may(
            "channel",
            Kind::Whole { least: 1 },
            "channel of the file; the first if not given",
        ),
        may(
            "switched",
            Kind::Words(SWITCHED),
            "whether the product was switched on, for what was recorded inside",
        ),
        may(
            "seating",
            Kind::Whole { least: 1 },
            "number of the seating, for what was recorded inside: how often the product was put in place anew",
        ),
        may(
            "item",
            Kind::Ref(Ids::Items),
            "the item recorded; the product if not given",
        ),
        may(
            "level",
            Kind::Quantity(&asked::LEVEL),
            "level of a calibrator",
        ),
        may(
            "frequency",
            Kind::Number {
                low: 20.0,
                high: 20_000.0,
            },
            "frequency of a calibrator, Hz; 1000 if not given",
        ),
        may(
            "full-scale",
            Kind::Quantity(&asked::LEVEL),
            "sound pressure level of a sine that fills the scale, where that is stated for the recorder",
        ),
        may(
            "calibrator",
            Kind::Ref(Ids::Recordings),
            "the recording of the calibrator that it belongs to",
        ),
        may(
            "source",
            Kind::Ref(Ids::Recordings),
            "for an event that the product passes on: the recording of the source, which may be another channel of the same file",
        ),
        may(
            "farther",
            Kind::Quantity(&asked::FARTHER),
            "for an event: how much farther its sound travelled to the microphone than that of its source, or than from where the picture shows it; 0 where neither goes through the air",
        ),
        may(
            "frame",
            Kind::Whole { least: 0 },
            "for an event that a film shows: the frame in which it is first seen, the first of the film being 0",
        ),
        may(
            "frame-rate",
            Kind::Number {
                low: 1.0,
                high: 10_000.0,
            },
            "frames of that film in a second",
        ),
        may(
            "instrument",
            Kind::Ref(Ids::Instruments),
            "the recorder or microphone",
        ),
        may("started", Kind::Moment, "when it was begun"),
        evidence(),
        note(),
        may(
            "heard",
            Kind::Table(&HEARD),
            "what was heard in it; `underlid listen` writes it",
        ),
    ],
};

pub(crate) const RECORDING_KINDS: &[Word] = &[
    word("outside", "the noise without the product in its way"),
    word("inside", "the noise behind the product; needs switched"),
    word("quiet", "what the microphone hears in quiet"),
    word("calibrator", "a calibrator; needs level"),
    word("event", "an event, to tell a delay by"),
    word("unknown", "not noted; it is kept and not used"),
];

pub(crate) const SWITCHED: &[Word] = &[
    word("on", "switched on, its reduction working"),
    word("off", "switched off"),
    word("unknown", "not noted"),
];

const LEVEL_DB: Kind = Kind::Number {
    low: -1000.0,
    high: 1000.0,
};
const SECONDS: Kind = Kind::Number {
    low: -1e6,
    high: 1e6,
};

pub(crate) static HEARD: Table = Table {
    name: "recordings.heard",
    thing: Thing::Heard,
    natural: &[],
    doc: "what was heard in a recording; `underlid listen` writes it",
    keys: &[
        need("seconds", SECONDS, "length, s"),
        need("rate", Kind::Whole { least: 1 }, "samples in a second"),
        need(
            "levels",
            Kind::List(&LEVEL_DB),
            "level in each third octave from 50 Hz on, dB; a root mean square of full scale is 0",
        ),
        may(
            "clipped",
            Kind::Whole { least: 0 },
            "places where it was cut off at full scale",
        ),
        may(
            "dropouts",
            Kind::Whole { least: 0 },
            "places where samples are missing",
        ),
        may(
            "full-scale",
            LEVEL_DB,
            "of a calibrator: sound pressure level that 0 stands for, dB",
        ),
        may(
            "delay",
            SECONDS,
            "how much later it is than its source, or than the picture, s",
        ),
        may(
            "within",
            Kind::Number {
                low: 0.0,
                high: 1e6,
            },
            "standard uncertainty of the delay, s",
        ),
        may(
            "clock",
            Kind::Number {
                low: -1e6,
                high: 1e6,
            },
            "how much faster the clock of this recorder runs than that of the source, parts per million",
        ),
        may(
            "peak",
            Kind::List(&Kind::Row(&SECONDS, 2)),
            "the correlation around its peak: lag in s, coefficient",
        ),
        may("notes", Kind::List(&Kind::Text), "what is wrong with it"),
    ],
};
