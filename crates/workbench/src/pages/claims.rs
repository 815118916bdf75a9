//! Claims: each printed sentence judged, unfolding to its working, whose inputs are fields.

use super::library::{class_of, glyph, tally};
use super::{Context, empty};
use crate::ask::find::encoded;
use crate::field::{Look, field};
use crate::frame::Laid;
use crate::live::Since;
use maud::{Markup, PreEscaped, html};
use methods::inputs::places;
use methods::words::{capital, for_readers};
use methods::{Detail, Finding, Method, Verdict};
use quantity::{Figure, FigureInput};
use record::{Place, Thing};
use report::{JudgedClaim, anchor, judged_claims, verdict_words};

pub(crate) fn page(context: &Context<'_>) -> Laid {
    let view = context.view;
    let mut rows = judged_claims(&view.dossier, &view.findings);
    if rows.is_empty() {
        let none = empty("No claims yet; they are written in Intake.");
        return Laid {
            module: true,
            main: html! { (none.main) (sound(context)) },
            ..none
        };
    }
    let moved = context.channel.verdicts_since(context.since);
    let was = |finding: &Finding| moved.iter().find(|s| s.verdict.finding == finding.id);
    rows.sort_by_key(|row| was(row.finding).is_none());
    let order = [
        Verdict::Fails,
        Verdict::Undecided,
        Verdict::NeedsEvidence,
        Verdict::Holds,
    ];
    let counts = order.map(|v| (v, rows.iter().filter(|r| r.verdict == v).count()));
    Laid {
        main: html! {
            h2 class="unseen" { "Every printed claim" }
            p class="tally" id="tally" { (tally(&counts)) }
            div class="judged-heads" aria-hidden="true" {
                span { "Said" }
                span { "Found, with its 95 %" }
                span class="plot" { (PreEscaped(report::claim_scale())) }
                span { "Verdict" }
            }
            ol class="judged" id="judged" data-rows {
                @for row in &rows { (self::row(context, row, was(row.finding))) }
            }
            p class="quiet legend" { "The strong line is the limit, the tinted side what is allowed, the short mark what is printed. The bar is what was found with its 95 % interval: filled where that decides, open where the limit may lie in it. Distances are multiples of what is allowed around the printed figure, drawn closer together the farther out they lie." }
            (sound(context))
        },
        aside: Some(html! { (would_settle(context)) (contradictions(context)) }),
        module: true,
    }
}

/// What recordings say of noise and delay, with their curves.
fn sound(context: &Context<'_>) -> Markup {
    let findings = context.view.findings.findings.iter();
    html! {
        section aria-labelledby="h-sound" {
            h2 id="h-sound" { "What recordings say" }
            p { a href={ "/d/" (context.view.id) "/bring/recording" } { "Bring a recording in" } }
            @for finding in findings.filter(|f| f.method() == Method::Sound) {
                h3 { (finding.title) }
                p { (finding.sentence) }
                @for why in &finding.unused { p class="quiet" { (capital(why)) } }
                @for detail in &finding.details {
                    @if let Detail::Chart(chart) = detail && let Some((svg, _)) = report::chart_drawing(chart) {
                        figure class="course" { (PreEscaped(svg)) figcaption class="quiet" { (chart.caption) } }
                    }
                }
            }
        }
    }
}

fn row(context: &Context<'_>, judged: &JudgedClaim<'_>, since: Option<&Since>) -> Markup {
    let row = &judged.row;
    let id = anchor("claim", &judged.claim.id);
    let open = context.query.at.as_deref() == Some(judged.claim.id.as_str());
    html! {
        li id=(id) class=[since.map(|_| "moved-row")] data-finding=(judged.finding.id) {
            details open[open] {
                summary {
                    span class="said" { span class="sentence" { (row.said) } span class="under" { (row.printed) } }
                    span class="found" {
                        @if judged.found.is_empty() { span class="quiet" { "nothing measured" } } @else { (judged.found) }
                        @if !row.how.is_empty() { span class="under" { (row.how) } }
                    }
                    span class="plot" { @if let Some(strip) = &row.strip { (PreEscaped(strip)) } }
                    span class="judgement" {
                        span class={ "verdict " (class_of(judged.verdict)) } {
                            (glyph(judged.verdict)) b class="word" { (verdict_words(judged.verdict)) }
                        }
                        span class="under" { (beside(judged, since)) }
                    }
                }
                (working(context, judged))
            }
        }
    }
}

/// What stands under the verdict: what it was, else why it is so.
fn beside(judged: &JudgedClaim<'_>, since: Option<&Since>) -> String {
    let row = &judged.row;
    let was = since.and_then(|s| s.verdict.was).map(|was| {
        let by = since.map_or(String::new(), |s| {
            format!(", {} revision {}", s.by, s.revision)
        });
        format!("was {}{by}", verdict_words(was))
    });
    let margin = (!judged.row.margin.is_empty()).then(|| judged.row.margin.clone());
    let reason = (!row.reason.is_empty()).then(|| row.reason.clone());
    was.or(margin).or(reason).unwrap_or_default()
}

fn working(context: &Context<'_>, judged: &JudgedClaim<'_>) -> Markup {
    let finding = judged.finding;
    // What is changed elsewhere by keys of the record has its fields here and in its place.
    let assumed = finding.assumptions.iter().map(|text| for_readers(text));
    let assumed: Vec<String> = assumed
        .filter(|text| !text.is_empty())
        .map(|text| capital(&text))
        .collect();
    let tolerance = Place::claim(&judged.claim.id).at("tolerance");
    html! {
        div class="working" {
            p class="sentence" { (finding.sentence) }
            @if !judged.row.why.is_empty() { p class="quiet" { (judged.row.why) } }
            @for figure in &finding.figures { (self::figure(context, figure, &judged.claim.id)) }
            @if !finding.missing.is_empty() {
                h3 { "Would settle it" }
                ul { @for missing in &finding.missing {
                    li { (capital(&missing.measure))
                        @if let Some(resolution) = &missing.resolution { ", " (resolution) }
                        @if missing.too_late { span class="quiet" { " (not on this sample any more)" } } }
                } }
            }
            (field(context, &tolerance, Look { label: Some("Tolerance of this claim, where it states its own"), ..Look::default() }))
            @if !assumed.is_empty() {
                h3 { "Assumed" }
                ul { @for assumed in assumed { li { (assumed) } } }
            }
            @for unused in &finding.unused { p class="quiet" { "Could not be used: " (unused) } }
            p class="links" {
                a href={ "/d/" (context.view.id) "/fields?at=" (encoded(&Place::claim(&judged.claim.id).to_string())) } { "All fields of the claim" }
            }
        }
    }
}

fn figure(context: &Context<'_>, figure: &Figure, claim: &str) -> Markup {
    html! {
        div class="figure" {
            @for line in &figure.working { p class="line" { (line) } }
            @for (at, input) in figure.inputs.iter().enumerate() { (self::input(context, input, &format!("{claim}-{at}"))) }
        }
    }
}

/// One input: a field where it is a reading or a fact of the record, words else; its origin, its share of the doubt.
fn input(context: &Context<'_>, input: &FigureInput, _of: &str) -> Markup {
    let share = input.variance_share;
    let share = if share >= 0.0005 {
        format!("{:.1} % of the doubt", share * 100.0)
    } else {
        String::new()
    };
    let value = places(&input.source.evidence).find_map(|place| value_of(context, &place));
    html! {
        div class="input" {
            @match &value {
                Some(at) => (field(context, at, Look { label: Some(&input.name), ..Look::default() })),
                None => p class="given" { span class="label" { (input.name) } " " (input.text) },
            }
            p class="quiet origin" {
                (input.source.origin.key().replace('-', " "))
                @if !input.source.note.is_empty() { ", " (input.source.note) }
            }
            p class="quiet share" { (share) }
        }
    }
}

/// Returns the place of the one value that an input stands for.
fn value_of(context: &Context<'_>, place: &Place) -> Option<Place> {
    let at = match place.thing() {
        Thing::Reading => place.entry()?.at("value"),
        Thing::Claim if place.key().is_some() => place.clone(),
        Thing::Cell if place.key().is_some() => place.clone(),
        _ => return None,
    };
    let is_quantity = record::field_at(&at).is_some_and(|field| field.is_quantity());
    (is_quantity && context.values.at(&at).is_some()).then_some(at)
}

/// The measurements that would settle most claims.
fn would_settle(context: &Context<'_>) -> Markup {
    let mut takings: Vec<_> = context
        .takings
        .iter()
        .filter(|t| {
            t.why
                .iter()
                .any(|w| w.finding.method == methods::Method::Claims)
        })
        .collect();
    takings.sort_by_key(|t| (t.too_late, std::cmp::Reverse(t.why.len())));
    html! {
        section aria-labelledby="h-settle" {
            h2 id="h-settle" { "Would settle most" }
            @if takings.is_empty() { p class="quiet" { "Nothing is open that a reading would settle." } }
            ul class="settle" {
                @for taking in takings.iter().take(8) {
                    li {
                        (capital(&taking.what)) " "
                        span class="quiet" {
                            @if taking.too_late { "not on this sample any more" }
                            @else if taking.why.len() == 1 { "1 claim" }
                            @else { (taking.why.len()) " claims" }
                            @if let Some(how) = &taking.how { " · " (how) }
                        }
                    }
                }
            }
        }
    }
}

/// Where entries of the analyst contradict each other.
fn contradictions(context: &Context<'_>) -> Markup {
    let findings = context.view.findings.findings.iter();
    let slips: Vec<&Finding> = findings.filter(|f| f.is_slip()).collect();
    html! {
        @if !slips.is_empty() {
            section aria-labelledby="h-slips" {
                h2 id="h-slips" { "The record contradicts itself" }
                ul class="slips" { @for slip in slips {
                    li { span class="accent" { (slip.title) } @if !slip.title.ends_with('?') { ":" } " " (slip.sentence) }
                } }
            }
        }
    }
}
