//! The mark of a verdict, the rule of decision in small.
//!
//! In: a verdict. Out: paths in a field of 32 × 15 units: a line for the limit, a bar for what was found.
//! Not here: colours; the word that always stands beside it.

use methods::Verdict;

/// Returns the elements of the mark, drawn in `colour`.
pub fn paths(verdict: Verdict, colour: &str) -> String {
    let limit = format!("<path d=\"M16 1V14\" stroke=\"{colour}\" stroke-width=\"1.5\"/>");
    let bar = |left: u8, width: u8| {
        format!("<rect x=\"{left}\" y=\"5\" width=\"{width}\" height=\"5\" fill=\"{colour}\"/>")
    };
    match verdict {
        Verdict::Holds => bar(3, 9) + &limit,
        Verdict::Fails => limit + &bar(20, 9),
        Verdict::Undecided => format!(
            "<rect x=\"7.75\" y=\"4.75\" width=\"16.5\" height=\"5.5\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"1.5\"/>{limit}"
        ),
        Verdict::NeedsEvidence => {
            let dots: String = [5, 10, 22, 27]
                .map(|x| format!("<circle cx=\"{x}\" cy=\"7.5\" r=\"1.4\" fill=\"{colour}\"/>"))
                .concat();
            dots + &limit
        }
    }
}
