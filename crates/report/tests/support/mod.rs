//! The demonstration dossier, its findings and its photographs, worked out once for a test file.

#![allow(dead_code, reason = "each test file uses a part of it")]
#![allow(
    clippy::disallowed_methods,
    reason = "a test reads its cases from the disk"
)]

use catalogue::Catalogue;
use methods::{Findings, Known, Recorded, Recording};
use record::Dossier;
use report::{Document, Photographs, Picture, Shown, compose};
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Arc;
use std::sync::OnceLock;

/// The parts that the demonstration dossier knows.
pub(crate) fn known() -> &'static Known {
    static KNOWN: OnceLock<Known> = OnceLock::new();
    KNOWN.get_or_init(|| {
        let file = folder().join("catalogue/known-parts.csv");
        let read = catalogue::read(&std::fs::read(file).unwrap(), "known-parts.csv");
        let mut known = Catalogue::default();
        known.merge(read.rows);
        Known::new(known)
    })
}

/// The same among five products of other makers that are much like it.
pub(crate) fn among() -> &'static (Dossier, Findings) {
    static AMONG: OnceLock<(Dossier, Findings)> = OnceLock::new();
    AMONG.get_or_init(|| {
        let (dossier, _) = lamp();
        let own = methods::others::profile(&methods::Case::new(dossier, known()), "lamp");
        let others = methods::Others {
            products: Some(
                (1..=5)
                    .map(|n| methods::Other {
                        id: n.to_string(),
                        product: format!("Pebble {n}"),
                        maker: "Tarnholt".to_string(),
                        family: String::new(),
                        ..own.clone()
                    })
                    .collect(),
            ),
            left: 0,
        };
        let goes_on = |_| ControlFlow::Continue(());
        let recorded = recorded(dossier);
        let findings =
            methods::examine_among(dossier, known(), &recorded, &others, &goes_on).unwrap();
        (dossier.clone(), findings)
    })
}

/// The demonstration dossier and what its methods find.
pub(crate) fn lamp() -> &'static (Dossier, Findings) {
    static LAMP: OnceLock<(Dossier, Findings)> = OnceLock::new();
    LAMP.get_or_init(|| {
        let dossier = store::open(&folder()).unwrap();
        let goes_on = |_| ControlFlow::Continue(());
        let findings =
            methods::examine_with(&dossier, known(), &recorded(&dossier), &goes_on).unwrap();
        (dossier, findings)
    })
}

/// The logs of the demonstration dossier, whose columns its head tells as its record does.
pub(crate) fn recorded(dossier: &Dossier) -> Recorded {
    let mut recorded = Recorded::none();
    for log in &dossier.logs {
        let bytes = std::fs::read(folder().join("logs").join(&log.file)).unwrap();
        let read = logs::read_text(
            &bytes[..],
            &log.file,
            &logs::Options::default(),
            &mut |_| true,
        );
        recorded.put(
            &log.id,
            Recording::of(read.unwrap(), log.seat).map(Arc::new),
        );
    }
    recorded
}

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp")
}

/// The first photographs of the dossier.
pub(crate) fn photographs() -> Photographs {
    let mut photographs = Photographs::default();
    for (number, photo) in (1..).zip(lamp().0.photos.iter().take(2)) {
        let bytes = std::fs::read(folder().join("photos").join(&photo.file)).unwrap();
        let size = imaging::pixels::size(&bytes, &Default::default()).unwrap();
        let picture = Picture {
            bytes: bytes.into(),
            media_type: "image/jpeg",
            size: [size.width, size.height],
        };
        let shown = Shown {
            size: picture.size,
            preview: picture.clone(),
            full: picture,
            path: format!("photos/P{number:02}-{}.jpg", photo.id),
        };
        photographs.files.insert(photo.file.clone(), shown);
    }
    photographs
}

/// The report on it.
pub(crate) fn document() -> &'static Document {
    static DOCUMENT: OnceLock<Document> = OnceLock::new();
    DOCUMENT.get_or_init(|| {
        let (dossier, findings) = lamp();
        compose(dossier, findings, &photographs())
    })
}
