//! What the logs of a cell say: how long a charge took, what went in or came out, at which current.
//!
//! In: logs of the record that were read. Out: terms with what the samples leave open and what the meter may be off;
//! whether a charge ended by itself and began empty. Not here: the circuit fitted to a log (`circuit`), findings.
//! A log measured here is our own measurement; one from elsewhere is drawn and decides nothing.

use crate::Case;
use crate::cells::is_cell;
use crate::grounds::Grounds;
use crate::inputs::{self, accuracy_of, unit};
use crate::network::Joined;
use crate::recorded::Recording;
use logs::phases::Kind;
use logs::{Amount, Seat};
use quantity::{Accuracy, Dimension, Distribution, Input, Origin, Sheet, Source, Term, Unit};
use record::{Item, Log, LogKind, LogStart, Place};

/// A log of the record that was read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Logged<'d> {
    pub(crate) log: &'d Log,
    pub(crate) recording: &'d Recording,
}

/// The greatest charge or discharge in a log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Course {
    /// Its first point.
    pub(crate) first: usize,
    /// Its last point.
    pub(crate) last: usize,
    /// Shortest and longest time that it may have taken, s.
    pub(crate) seconds: (f64, f64),
    /// Whether a row follows its last point.
    pub(crate) next: bool,
    /// Whether the charger, or the product at its cut-off, ended it, and the log saw that.
    pub(crate) ended: bool,
}

impl Course {
    /// Returns the points between which all of it was moved: where it ended by itself, what passed until the first row
    /// without current is counted.
    pub(crate) fn ends(&self) -> [usize; 2] {
        [self.first, self.last + usize::from(self.next)]
    }
}

/// Returns the logs of this kind that were measured here and read, in the order of the record.
fn logs<'d>(case: &Case<'d>, what: LogKind) -> impl Iterator<Item = Logged<'d>> {
    let recorded = case.logs();
    case.dossier
        .logs
        .iter()
        .filter(move |log| log.what == what && is_measured(log))
        .filter_map(move |log| {
            let recording = recorded.get(&log.id).ok()?;
            Some(Logged { log, recording })
        })
}

/// Returns whether a log was measured here.
pub(crate) fn is_measured(log: &Log) -> bool {
    log.origin.is_none_or(|origin| origin == Origin::Measured)
}

/// Returns the logs that a meter at this cell recorded.
pub(crate) fn at_cell<'d>(
    case: &Case<'d>,
    cell: &Item,
    what: LogKind,
) -> impl Iterator<Item = Logged<'d>> {
    let id = cell.id.clone();
    logs(case, what).filter(move |l| l.log.item == id && l.recording.series.seat == Seat::Cell)
}

/// Returns the logs of charges that a meter recorded at this item, between it and its source.
pub(crate) fn at_socket<'d>(case: &Case<'d>, item: &Item) -> impl Iterator<Item = Logged<'d>> {
    let id = item.id.clone();
    let socket = move |l: &Logged<'d>| l.recording.series.seat == Seat::Socket && l.log.item == id;
    logs(case, LogKind::Charge).filter(socket)
}

/// Returns the logs that tell a time of this cell: at it, or where power for it alone enters or leaves.
fn timing<'d>(case: &Case<'d>, cell: &Item, what: LogKind) -> Vec<Logged<'d>> {
    let leads = |id: &str| {
        let holds_it_alone =
            matches!(case.supplies().cells_of(Some(id)), [only] if only.id == cell.id);
        let feeds_it = case.network().paths_into(cell).any(|p| p.start().id == id);
        let cells_fed = case.item(id).map_or(0, |item| {
            let ends = case.network().paths_from(item).iter().map(|p| p.end());
            let mut fed: Vec<&str> = ends.filter(|e| is_cell(e)).map(|e| e.id.as_str()).collect();
            fed.sort_unstable();
            fed.dedup();
            fed.len()
        });
        holds_it_alone || (feeds_it && cells_fed == 1)
    };
    logs(case, what)
        .filter(|l| l.log.item == cell.id || leads(&l.log.item))
        .collect()
}

impl<'d> Logged<'d> {
    /// Returns the greatest charge in the log.
    pub(crate) fn charge(&self) -> Option<Course> {
        let charging = |kind: Kind| {
            matches!(
                kind,
                Kind::Precharge | Kind::ConstantCurrent | Kind::ConstantVoltage | Kind::Charge
            )
        };
        self.course(charging, |kind, course| {
            kind == Kind::ConstantVoltage && course.next
        })
    }

    /// Returns the greatest discharge in the log; `cutoff` is the voltage at which the product switches off, V.
    pub(crate) fn discharge(&self, cutoff: Option<f64>) -> Option<Course> {
        self.course(
            |kind| kind == Kind::Discharge,
            |_, course| {
                let series = &self.recording.series;
                let down = cutoff.is_some_and(|cutoff| {
                    series.has_voltage && series.points[course.last].volts <= cutoff
                });
                course.next || down
            },
        )
    }

    /// Returns the stretch of phases of one sort that moved the most charge.
    fn course(
        &self,
        belongs: impl Fn(Kind) -> bool,
        ended: impl Fn(Kind, &Course) -> bool,
    ) -> Option<Course> {
        let (series, phases) = (&self.recording.series, &self.recording.phases);
        let mut best: Option<(f64, Course)> = None;
        for stretch in phases.chunk_by(|a, b| belongs(a.kind) && belongs(b.kind)) {
            let [begin, ..] = stretch else { continue };
            let [.., end] = stretch else { continue };
            if !belongs(begin.kind) || end.last == begin.first {
                continue;
            }
            // Nobody saw when a charge began that was under way at the first row.
            let unseen = if begin.first == 0 {
                series.interval_s
            } else {
                0.0
            };
            let mut course = Course {
                first: begin.first,
                last: end.last,
                seconds: (
                    end.ends.from_s - begin.begins.to_s,
                    end.ends.to_s - begin.begins.from_s + unseen,
                ),
                next: end.last < series.last(),
                ended: false,
            };
            course.ended = ended(end.kind, &course);
            let moved = series.charge(course.first, course.last).value.abs();
            if best.is_none_or(|(most, _)| moved > most) {
                best = Some((moved, course));
            }
        }
        best.map(|(_, course)| course)
    }

    /// Returns what the meter may be off for quantities of a dimension.
    fn accuracy(&self, case: &Case<'_>, dimension: Dimension) -> Option<Accuracy> {
        let id = self.log.instrument.as_deref()?;
        accuracy_of(case.lookup().instrument(id)?, dimension)
    }

    /// Makes an input of what the log says.
    pub(crate) fn input<'s>(
        &self,
        sheet: &'s Sheet,
        name: &str,
        law: Distribution,
        unit: Unit,
        grounds: &mut Grounds,
    ) -> Term<'s> {
        let places = inputs::seen(Place::logged(&self.log.id), &self.log.evidence);
        let source = Source {
            origin: Origin::Measured,
            evidence: inputs::locators(&places),
            note: format!(
                "logged in {}, {} rows",
                self.log.file, self.recording.rows.used
            ),
        };
        grounds.evidence.extend(places);
        sheet.input(Input::distributed(name, law, unit, source))
    }

    /// The time of a course: the samples bound it on both sides.
    pub(crate) fn time<'s>(
        &self,
        sheet: &'s Sheet,
        name: &str,
        course: &Course,
        grounds: &mut Grounds,
    ) -> Term<'s> {
        let (low, high) = course.seconds;
        let law = match high > low {
            true => Distribution::Rectangular { low, high },
            false => Distribution::Exact { value: low },
        };
        let told = if high < 10.0 * unit("h").factor() {
            "min"
        } else {
            "h"
        };
        self.input(sheet, name, law, unit(told), grounds)
    }

    /// The charge between two points, positive, C: what sampling leaves open and what the meter may be off.
    pub(crate) fn moved<'s>(
        &self,
        sheet: &'s Sheet,
        case: &Case<'_>,
        (name, told): (&str, &str),
        [first, last]: [usize; 2],
        grounds: &mut Grounds,
    ) -> Term<'s> {
        let series = &self.recording.series;
        let amount = series.charge(first, last);
        let seconds = series.points[last].t_s - series.points[first].t_s;
        let meter = self.accuracy(case, Dimension::CURRENT);
        if meter.is_none() {
            self.no_meter(grounds);
        }
        let sd = spread(amount, meter.as_slice(), seconds);
        self.input(
            sheet,
            name,
            normal(amount.value.abs(), sd),
            unit(told),
            grounds,
        )
    }

    /// The energy between two points, positive, J; none without a voltage.
    pub(crate) fn energy<'s>(
        &self,
        sheet: &'s Sheet,
        case: &Case<'_>,
        name: &str,
        [first, last]: [usize; 2],
        grounds: &mut Grounds,
    ) -> Option<Term<'s>> {
        let amount = self.recording.series.energy(first, last)?;
        let relative = [Dimension::CURRENT, Dimension::VOLTAGE]
            .into_iter()
            .filter_map(|dimension| self.accuracy(case, dimension)?.relative)
            .map(|share| Accuracy {
                relative: Some(share),
                ..Accuracy::default()
            });
        let meter: Vec<Accuracy> = relative.collect();
        if meter.is_empty() {
            self.no_meter(grounds);
        }
        let sd = spread(amount, &meter, 0.0);
        Some(self.input(
            sheet,
            name,
            normal(amount.value.abs(), sd),
            unit("Wh"),
            grounds,
        ))
    }

    /// A power that the meter showed, with what it may be off; rounded to what is worth telling where that is not known.
    pub(crate) fn power_law(&self, case: &Case<'_>, watts: f64) -> Distribution {
        let relative = [Dimension::CURRENT, Dimension::VOLTAGE]
            .into_iter()
            .filter_map(|dimension| self.accuracy(case, dimension)?.relative);
        let limit = relative.fold(0.0, f64::hypot) * watts;
        normal(crate::inputs::tidy(watts), limit / 3.0_f64.sqrt())
    }

    fn no_meter(&self, grounds: &mut Grounds) {
        grounds.assume(format!(
            "how far the meter of the log {} may be off is not recorded, so only what its samples leave open is \
             counted; name its `instrument` with an accuracy",
            self.log.id
        ));
    }
}

fn normal(mean: f64, sd: f64) -> Distribution {
    match sd > 0.0 {
        true => Distribution::Normal { mean, sd },
        false => Distribution::Exact { value: mean },
    }
}

/// Standard uncertainty of an amount: sampling, and limits of error as rectangles. A constant one adds up over time.
fn spread(amount: Amount, meters: &[Accuracy], seconds: f64) -> f64 {
    let limits = meters.iter().map(|meter| {
        let relative = meter.relative.unwrap_or(0.0) * amount.value.abs();
        relative + meter.absolute.unwrap_or(0.0) * seconds
    });
    let squares: f64 = limits.map(|limit| limit * limit / 3.0).sum();
    (amount.standard.powi(2) + squares).sqrt()
}

/// Returns whether there is one cell, or one pack, at which a meter sees what the record calls the cell.
fn is_single(case: &Case<'_>, cell: &Item) -> bool {
    let joined = Joined::of(case, cell);
    joined.series * joined.parallel * joined.groups == 1
}

/// Returns the charge that a cell holds: what came out of it from full to its cut-off, or went in from empty until the
/// charger ended it.
pub(super) fn held<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    if !is_single(case, cell) {
        return None;
    }
    let name = format!("capacity of {}", cell.name);
    let told = (name.as_str(), "mAh");
    for logged in at_cell(case, cell, LogKind::Discharge) {
        if let Some(course) = whole_discharge(&logged, cell) {
            return Some(logged.moved(sheet, case, told, course.ends(), grounds));
        }
    }
    // Of other kinds more goes in than comes out again.
    super::circuit::tables(cell).next()?;
    let (logged, course) = at_cell(case, cell, LogKind::Charge)
        .find_map(|logged| Some((logged, whole_charge(&logged)?)))?;
    grounds.assume(format!(
        "what went into {} from empty to full is what it holds: of lithium-ion cells more than 99 % comes out again",
        cell.name
    ));
    Some(logged.moved(sheet, case, told, course.ends(), grounds))
}

/// Returns the energy that came out of a cell from full to its cut-off.
pub(super) fn held_energy<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    if !is_single(case, cell) {
        return None;
    }
    let name = format!("energy of {}", cell.name);
    at_cell(case, cell, LogKind::Discharge).find_map(|logged| {
        let course = whole_discharge(&logged, cell)?;
        logged.energy(sheet, case, &name, course.ends(), grounds)
    })
}

/// Returns the charge from empty to where the charger ended it.
pub(crate) fn whole_charge(logged: &Logged<'_>) -> Option<Course> {
    let began = logged.log.from == Some(LogStart::Empty);
    logged.charge().filter(|course| began && course.ended)
}

/// Returns the discharge from full to the cut-off.
pub(crate) fn whole_discharge(logged: &Logged<'_>, cell: &Item) -> Option<Course> {
    let began = logged.log.from == Some(LogStart::Full);
    let facts = cell.cell.as_ref();
    let cutoff = facts
        .and_then(|c| c.cutoff_voltage.as_ref())
        .map(quantity::Stated::si);
    logged
        .discharge(cutoff)
        .filter(|course| began && course.ended)
}

/// Returns the current of the constant-current phase of the first logged charge of a cell, with its value in A.
pub(crate) fn charging_current<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<(Term<'s>, f64)> {
    if Joined::of(case, cell).groups != 1 {
        return None;
    }
    at_cell(case, cell, LogKind::Charge).find_map(|logged| {
        let mut constant = logged.recording.phases.iter();
        let phase = constant.find(|p| p.kind == Kind::ConstantCurrent && p.last > p.first)?;
        let seconds = phase.duration_s();
        let name = format!("charge at constant current into {}", cell.name);
        let moved = logged.moved(
            sheet,
            case,
            (&name, "mAh"),
            [phase.first, phase.last],
            grounds,
        );
        let law = Distribution::Exact { value: seconds };
        let name = format!("time of constant current into {}", cell.name);
        let time = logged.input(sheet, &name, law, unit("min"), grounds);
        let current =
            (moved / time).named(&format!("charge current of {}", cell.name), &unit("mA"));
        Some((current, phase.charge.value / seconds))
    })
}

/// Returns how long a charge of a cell took from empty until the charger ended it, with the log that says so.
pub(crate) fn full_time<'s, 'd>(
    sheet: &'s Sheet,
    case: &Case<'d>,
    cell: &Item,
    grounds: &mut Grounds,
) -> Option<(Term<'s>, Logged<'d>)> {
    let name = format!("charging time of {}", cell.name);
    let mut partial = Vec::new();
    for logged in timing(case, cell, LogKind::Charge) {
        if let Some(course) = whole_charge(&logged) {
            let time = logged.time(sheet, &name, &course, grounds);
            return Some((time, logged));
        }
        partial.push(logged.log);
    }
    for log in partial {
        grounds.unused(format!(
            "{}: does not tell a whole charge; a log from empty (`from = \"empty\"`) until the current has ended would",
            Place::logged(&log.id)
        ));
    }
    None
}

/// Returns how long a cell lasted from full to its cut-off, in a mode where one is asked for.
pub(crate) fn run_time_logged<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    mode: Option<&str>,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    let fits = |log: &Log| match (mode, &log.mode) {
        (Some(asked), Some(mode)) => super::mode_is(asked, mode),
        (None, Some(_)) => true,
        // A discharge into a load of the bench is no use of the product.
        (_, None) => false,
    };
    let found = timing(case, cell, LogKind::Discharge)
        .into_iter()
        .filter(|logged| fits(logged.log))
        .filter_map(|logged| Some((whole_discharge(&logged, cell)?, logged)))
        // A claim that names no mode is about the one that lasts longest.
        .max_by(|a, b| a.0.seconds.0.total_cmp(&b.0.seconds.0));
    let (course, logged) = found?;
    Some(logged.time(
        sheet,
        &format!("run time of {}", cell.name),
        &course,
        grounds,
    ))
}

/// Returns the charge that an empty cell took within some seconds; none where no log tells.
pub(crate) fn taken_logged<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    cell: &Item,
    seconds: f64,
    grounds: &mut Grounds,
) -> Option<Term<'s>> {
    if !is_single(case, cell) {
        return None;
    }
    at_cell(case, cell, LogKind::Charge).find_map(|logged| {
        let from_empty = logged.log.from == Some(LogStart::Empty);
        let course = logged.charge().filter(|_| from_empty)?;
        let points = &logged.recording.series.points;
        let until = points[course.first].t_s + seconds;
        // The last sample before: what came between it and the moment is at most one interval's.
        let at = points.partition_point(|p| p.t_s <= until).checked_sub(1)?;
        if at <= course.first || (at == points.len() - 1 && points[at].t_s < until && !course.ended)
        {
            return None;
        }
        let name = format!("charge taken by {}", cell.name);
        let last = at.min(course.last);
        let before = logged.moved(sheet, case, (&name, "mAh"), [course.first, last], grounds);
        let next = points.get(last + 1).filter(|_| last < course.last);
        let rest = next.map_or(0.0, |_| points[last].amperes * (until - points[last].t_s));
        if rest <= 0.0 {
            return Some(before);
        }
        let law = Distribution::Rectangular {
            low: 0.0,
            high: 2.0 * rest,
        };
        let name = format!("charge taken by {} after the last row", cell.name);
        Some(before + logged.input(sheet, &name, law, unit("mAh"), grounds))
    })
}

/// Returns the voltage and the current at which an item took the most over a minute, or over the rows of a shorter
/// log, from the logs of meters at it.
pub(crate) fn most_taken<'s>(
    sheet: &'s Sheet,
    case: &Case<'_>,
    item: &Item,
    grounds: &mut Grounds,
) -> Option<(Term<'s>, Term<'s>)> {
    let found = at_socket(case, item).filter_map(|l| Some((l.peak()?, l)));
    let (peak, logged) = found.max_by(|a, b| a.0.watts.total_cmp(&b.0.watts))?;
    let series = &logged.recording.series;
    let in_window = |t: f64| t >= peak.from_s && t <= peak.from_s + peak.window_s;
    let inside: Vec<f64> = series
        .points
        .iter()
        .filter(|p| in_window(p.t_s))
        .map(|p| p.volts)
        .collect();
    if !series.has_voltage || inside.is_empty() {
        return None;
    }
    let volts = inside.iter().sum::<f64>() / inside.len() as f64;
    let error = |dimension, value: f64| {
        let meter = logged.accuracy(case, dimension).unwrap_or_default();
        let limit = meter.relative.unwrap_or(0.0) * value + meter.absolute.unwrap_or(0.0);
        limit / 3.0_f64.sqrt()
    };
    let amps = peak.watts / volts;
    if logged.log.instrument.is_none() {
        logged.no_meter(grounds);
    }
    grounds.assume(format!(
        "the most that {} took is the highest mean over {} in the log {}",
        item.name,
        crate::words::counted(peak.window_s.round() as u32, "second", "seconds"),
        logged.log.id
    ));
    let law = normal(volts, error(Dimension::VOLTAGE, volts));
    let name = format!("voltage at {} when it took most", item.name);
    let volts = logged.input(sheet, &name, law, unit("V"), grounds);
    let law = normal(amps, error(Dimension::CURRENT, amps));
    let name = format!("current at {} when it took most", item.name);
    Some((volts, logged.input(sheet, &name, law, unit("A"), grounds)))
}

/// Seconds over which the highest power is taken.
const WINDOW_S: f64 = 60.0;

impl Logged<'_> {
    /// Returns the highest mean power over a minute, or over a tenth of a shorter log.
    pub(crate) fn peak(&self) -> Option<logs::answers::Peak> {
        let series = &self.recording.series;
        logs::answers::peak_power(series, WINDOW_S.min(series.duration_s() / 10.0))
    }
}
