//! Remedies in the words of the command line.

use app::{Remedy, shown};

/// Returns what to do about a problem, with the options and commands that do it.
pub(crate) fn words(remedy: &Remedy) -> String {
    match remedy {
        Remedy::Words(words) => words.clone(),
        Remedy::StartAgain => "run the command again".to_string(),
        Remedy::EditAgain => {
            "another run may have changed the dossier meanwhile; repeat the command".to_string()
        }
        Remedy::NameCatalogue => {
            "add --into catalogue.csv, or --preview 10 to look first".to_string()
        }
        Remedy::LookFirst => "look first with --preview 10".to_string(),
        Remedy::CheckCatalogue(path) => {
            format!("correct them; underlid catalogue check {}", shown(path))
        }
        Remedy::NameMaker => "name its maker with --maker".to_string(),
        Remedy::WiderColumn => "choose a wider column with --column, or fewer regions".to_string(),
        Remedy::NarrowerColumn => "choose a narrower column with --column".to_string(),
        Remedy::FewerPixels => "ask for fewer pixels per millimetre with --per-mm".to_string(),
        Remedy::MarkCloser => {
            "mark them closer, or leave --snap out and state --within".to_string()
        }
        Remedy::NameItem => {
            "write the id of an item of the dossier, or leave --item out".to_string()
        }
        Remedy::WriteHeight => {
            "write it with its unit, such as --height \"1.6 ± 0.1 mm\"".to_string()
        }
        Remedy::MarkFirst => {
            "mark something of known size: underlid measure FOLDER --photo ID --known \
                     \"50 mm\" --at \"X,Y X,Y\" --save; then a thing: --what diameter --item ID \
                     --at \"X,Y X,Y X,Y\" --save"
                .to_string()
        }
    }
}
