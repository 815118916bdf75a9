//! Sound recordings: the file is there, and says what its kind needs.

use super::Check;
use crate::PathState;
use crate::files::refuse_path;
use crate::grammar::RECORDINGS;
use crate::tree::Node;

/// Checks every recording.
pub(super) fn recordings(check: &mut Check<'_>, root: &Node) {
    for recording in root.list("recordings") {
        if let Some(file) = recording.get("file") {
            look(check, file);
        }
        if check.partial {
            continue;
        }
        needs(check, recording);
    }
}

fn look(check: &mut Check<'_>, file: &Node) {
    let Some(name) = file.as_text().filter(|name| refuse_path(name).is_none()) else {
        return;
    };
    match check.files.look(&format!("{RECORDINGS}/{name}")) {
        PathState::File { .. } => {}
        fault => super::places::tell(check, fault, RECORDINGS, name, &file.span.clone()),
    }
}

/// Reports what the kind of a recording needs and is not there.
fn needs(check: &mut Check<'_>, recording: &Node) {
    let lacks = |key: &str| recording.get(key).is_none();
    let (message, remedy) = match recording.text("what") {
        Some("inside") if lacks("switched") => (
            "it is not said whether the product was switched on",
            "write switched = \"on\", \"off\" or \"unknown\"",
        ),
        Some("calibrator") if lacks("level") => (
            "the level of the calibrator is missing",
            "write level = \"94 dB\", as the calibrator says",
        ),
        Some("event") if lacks("frame") != lacks("frame-rate") => (
            "a frame of a film needs the rate of the film, and the other way round",
            "write both, such as frame = 250 and frame-rate = 25.0",
        ),
        _ => return,
    };
    check.report(&recording.span, message, remedy);
}
